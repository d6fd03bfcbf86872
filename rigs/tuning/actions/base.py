"""Rows that belong to the company: kept, or removed, over the version that was seen."""

from collections.abc import Callable
from typing import TypeVar

from django.db import IntegrityError, transaction

from rigs.people.models import Person
from rigs.systems.faults import NotSaved, faults_of, refuse
from rigs.versions import ChangedMeanwhile, Versioned, save_over

Kept = TypeVar("Kept", bound=Versioned)

GONE = "Somebody removed it while you had it open. Add it anew."


def keep(row: Kept, seen: int | None, person: Person | None, name_twice: str) -> Kept:
    """Store a new row, or an old one over the version that was seen.

    `name_twice` is what to say when another one has its name.
    """
    refuse(faults_of(row))
    try:
        with transaction.atomic():
            if row.pk is None:
                row.changed_by = person
                row.save()
            else:
                save_over(row, seen or 0, person)
    except type(row).DoesNotExist as gone:
        raise NotSaved({"": [GONE]}) from gone
    except IntegrityError as refusal:
        raise NotSaved({"name": [name_twice]}) from refusal
    return row


def remove(row: Kept, seen: int, why_not: Callable[[Kept], str] | None = None) -> None:
    """Delete a row as it was seen, unless there is a sentence against it."""
    with transaction.atomic():
        stored = type(row)._default_manager.select_for_update().filter(pk=row.pk).first()
        if stored is None:
            return  # gone is what was wanted
        against = why_not(stored) if why_not else ""
        if against:
            raise NotSaved({"": [against]})
        if stored.version != seen:
            raise ChangedMeanwhile(stored)
        stored.delete()
