"""Two people saving at once: what one saw when the page opened, against what is stored now."""

import hashlib
import json
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.forms.models import model_to_dict


def fingerprint(*rows: models.Model) -> str:
    """A short word for everything that rows say; another row or another value, another word."""
    facts: list[dict[str, Any]] = [model_to_dict(row) for row in rows]
    text = json.dumps(facts, sort_keys=True, cls=DjangoJSONEncoder)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


class ChangedMeanwhile(Exception):
    """Somebody else saved this after the page was opened."""

    def __init__(self, *stored: models.Model) -> None:
        super().__init__(
            "Somebody else changed this while you had it open. Your entries are still here: "
            "compare, then save again to replace theirs."
        )
        self.fingerprint = fingerprint(*stored)
