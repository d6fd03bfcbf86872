"""Two people saving at once: the second one is told, and loses nothing that they typed."""

from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import models

if TYPE_CHECKING:
    from rigs.people.models import Person


class Changed(Protocol):
    """What can be said of a row that somebody saved."""

    @property
    def version(self) -> Any: ...

    @property
    def changed_by(self) -> Any: ...

    @property
    def changed_at(self) -> datetime: ...


class ChangedMeanwhile(Exception):
    """Somebody else saved this row after the page was opened.

    `zone`: whose clock the time is said on, the venue's where there is an event.
    """

    def __init__(self, row: Changed, zone: str = "UTC") -> None:
        who = row.changed_by or "somebody"
        at = row.changed_at.astimezone(ZoneInfo(zone))
        super().__init__(
            f"{who} changed this at {at:%H:%M} ({zone}) while you had it open. "
            "Your entries are still here: compare, then save again to replace theirs."
        )
        self.row = row


class Versioned(models.Model):
    """A row with a version number that each save by a person raises by one."""

    version = models.PositiveIntegerField(default=1, editable=False)
    changed_at = models.DateTimeField(auto_now=True)
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )

    class Meta:
        abstract = True


def save_over(row: Versioned, seen: int, person: "Person | None", zone: str = "UTC") -> None:
    """Save `row` if version `seen` is still the stored one, else raise `ChangedMeanwhile`,
    which tells the time on the clock of `zone`.

    Call inside a transaction: the stored row is locked until it ends.
    """
    stored = type(row)._default_manager.select_for_update().get(pk=row.pk)
    if stored.version != seen:
        raise ChangedMeanwhile(stored, zone)
    row.version = seen + 1
    row.changed_by = person
    row.save()
