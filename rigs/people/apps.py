from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate

from rigs.sentences import speak_plainly


class PeopleConfig(AppConfig):
    name = "rigs.people"
    label = "people"

    def ready(self) -> None:
        speak_plainly()
        post_migrate.connect(_fill_groups, sender=self, dispatch_uid="people.fill_groups")


def _fill_groups(using: str = "default", **_: Any) -> None:
    from django.db import router

    from rigs.people.actions import fill_groups
    from rigs.people.models import Person

    if using == "default" and router.allow_migrate_model(using, Person):
        fill_groups()
