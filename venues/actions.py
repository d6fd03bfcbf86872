"""Changing venues and what belongs to them."""

from collections.abc import Iterable

from django.db import models, transaction
from django.db.models import ProtectedError

from venues.models import RoomSurface, Space
from venues.seen import ChangedMeanwhile, fingerprint
from venues.surface_lines import Row


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


@transaction.atomic
def replace_surfaces(space: Space, rows: Iterable[Row], seen: str) -> None:
    """Set the surfaces of a room: all of them or none.

    `seen` is the fingerprint of those that the page showed; raises `ChangedMeanwhile`.
    """
    Space.objects.select_for_update().get(pk=space.pk)
    stored = list(space.surfaces.all())
    if fingerprint(*stored) != seen:
        raise ChangedMeanwhile(*stored)
    space.surfaces.all().delete()
    RoomSurface.objects.bulk_create(
        RoomSurface(space=space, name=row.name, area_m2=row.area_m2, absorption=row.absorption)
        for row in rows
    )


def remove(row: models.Model) -> str:
    """Remove a row; returns a sentence if it can't go because something stands on it."""
    try:
        row.delete()
    except ProtectedError:
        why = "events take place there" if isinstance(row, Space) else "an event's rig uses it"
        return f"{row} can't be removed: {why}."
    return ""
