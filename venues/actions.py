"""Changing venues and what belongs to them."""

from django.db import models, transaction
from django.db.models import ProtectedError

from venues.models import Space
from venues.seen import ChangedMeanwhile, fingerprint


@transaction.atomic
def save(row: models.Model, seen: str) -> None:
    """Save a venue, space, area, supply, circuit or hang point.

    `seen` is the fingerprint of what the page showed; raises `ChangedMeanwhile` if the stored
    row says something else by now.
    """
    if row.pk is not None:
        stored = type(row)._default_manager.select_for_update().filter(pk=row.pk).first()
        if stored is not None and fingerprint(stored) != seen:
            raise ChangedMeanwhile(stored)
    row.save()


def remove(row: models.Model) -> str:
    """Remove a row; returns a sentence if it can't go because something stands on it."""
    try:
        row.delete()
    except ProtectedError:
        why = "events take place there" if isinstance(row, Space) else "an event's rig uses it"
        return f"{row} can't be removed: {why}."
    return ""
