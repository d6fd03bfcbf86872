from typing import Any

from django.apps import AppConfig
from django.db import transaction
from django.db.models.signals import post_delete


class TuningConfig(AppConfig):
    name = "rigs.tuning"
    label = "tuning"

    def ready(self) -> None:
        sender = self.get_model("Recording")
        post_delete.connect(_remove_file, sender=sender, dispatch_uid="tuning.remove_file")


def _remove_file(instance: Any, **_: Any) -> None:
    """A recording's file goes with its row, also where the whole event goes."""
    file = instance.file
    transaction.on_commit(lambda: file.storage.delete(file.name))
