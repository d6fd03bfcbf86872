"""What all changes to a rig share.

Every action locks the event's rig first, so that two people who save at the same time come one
after the other and the checks that span several rows hold. `seen` is the version that the
person had on the page (None for something new); an older one raises `ChangedMeanwhile`.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from django.db import IntegrityError, transaction
from django.db.models import RestrictedError

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.faults import NotSaved, from_database
from rigs.systems.models import DriveLine, InRig, RigChoice
from rigs.systems.models.choices import PROGRAMME
from rigs.versions import ChangedMeanwhile, save_over

Part = TypeVar("Part", bound=InRig)


@contextmanager
def changing(row: InRig) -> Iterator[None]:
    """One change to an event's rig at a time; what the database refuses becomes a sentence."""
    new = row.pk is None
    try:
        with transaction.atomic():
            Event.objects.select_for_update(no_key=True, of=("self",)).get(pk=row.event_id)
            yield
    except (IntegrityError, NotSaved, ChangedMeanwhile) as refusal:
        if new:  # the row that was written is rolled back
            row.pk, row._state.adding = None, True
        if isinstance(refusal, IntegrityError):
            raise NotSaved(from_database(refusal, row)) from refusal
        raise


def save(row: InRig, seen: int | None, person: Person | None) -> None:
    """Store a new row, or an old one over the version that was seen."""
    if row.pk is None:
        row.changed_by = person
        row.save()
        return
    try:
        save_over(row, seen or 0, person)
    except type(row).DoesNotExist as gone:
        raise NotSaved({"": [_gone(row)]}) from gone


def _gone(row: InRig) -> str:
    return f"Somebody removed {row} while you had it open. Add it anew if it is still needed."


def remove(
    row: Part,
    seen: int,
    users_of: Callable[[Part], list[str]] | None = None,
    said: Callable[[InRig, list[str]], str] | None = None,
) -> None:
    """Delete a row unless something uses it (`users_of` names it, `said` is the refusal).

    Without `said` those are drive lines.
    """
    with changing(row):
        stored = type(row)._default_manager.select_for_update().filter(pk=row.pk).first()
        if stored is None:
            return  # gone is what was wanted
        users = users_of(stored) if users_of else []
        if users:
            raise NotSaved({"": [(said or _on_lines)(row, users)]})
        if stored.version != seen:
            raise ChangedMeanwhile(stored)
        try:
            stored.delete()
        except RestrictedError as used:
            raise NotSaved({"": [_used_elsewhere(row, used)]}) from used


def _used_elsewhere(row: InRig, used: RestrictedError) -> str:
    """Rooms above this one may hold on to a part: say by what, without knowing them."""
    users = list(used.restricted_objects)
    names = users[0]._meta
    many = len(users) > 1
    said = f"{len(users)} {names.verbose_name_plural if many else names.verbose_name}"
    return f"{row} is used by {said}. Remove {'those' if many else 'that'} first."


def _on_lines(row: InRig, lines: list[str]) -> str:
    if len(lines) == 1:
        return f"{row} is on drive line {lines[0]}. Take it off that line first."
    return f"{row} is on drive lines {', '.join(lines)}. Take it off those lines first."


def name_the_programme_rating(row: DriveLine | RigChoice, person: Person | None) -> None:
    """Who first gave this reason answers for the programme rating."""
    if row.limiter_basis != PROGRAMME:
        row.limiter_basis_by, row.limiter_basis_reason = None, ""
        return
    row.limiter_basis_reason = row.limiter_basis_reason.strip()
    stored = type(row)._default_manager.filter(pk=row.pk).first() if row.pk else None
    if stored is None or stored.limiter_basis_reason != row.limiter_basis_reason:
        row.limiter_basis_by = person
