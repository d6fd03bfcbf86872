"""Reads of ring-outs: this event's, and what rang at its venue before."""

from dataclasses import dataclass

from django.db.models import Q

from rigs.events.models import Event
from rigs.systems.models import RingEntry, RingNotch, RingOut

MOST_BEFORE = 5


@dataclass(frozen=True, slots=True)
class Ringing:
    """A ring-out with its notches and log. `ring_out` is None where nobody set one up."""

    ring_out: RingOut | None
    notches: list[RingNotch]
    entries: list[RingEntry]

    @property
    def free(self) -> int:
        """How many more may be placed before the reserve is touched."""
        if self.ring_out is None:
            return 0
        return max(0, self.ring_out.notches - self.ring_out.reserve - len(self.notches))

    @property
    def in_reserve(self) -> int:
        """How many are kept for the show."""
        if self.ring_out is None:
            return 0
        return min(self.ring_out.reserve, max(0, self.ring_out.notches - len(self.notches)))

    @property
    def waiting(self) -> list[RingNotch]:
        """Placed, and not in the processing yet."""
        return [notch for notch in self.notches if notch.revision_id is None]


def ringing(event: Event) -> Ringing:
    """An event's ring-out."""
    ring_out = RingOut.objects.select_related("processor_place__processor", "changed_by")
    notches = RingNotch.objects.filter(event=event).select_related(
        "microphone", "revision", "made_by"
    )
    entries = RingEntry.objects.filter(event=event).select_related("made_by")
    return Ringing(ring_out.filter(event=event).first(), list(notches), list(entries))


def rang_here_before(event: Event) -> list[tuple[Event, list[RingNotch], list[RingEntry]]]:
    """Earlier events at the venue with notches or a log: the same space and newest first."""
    earlier = Event.objects.filter(
        space__venue=event.space.venue_id, show_from__lt=event.show_from
    ).exclude(state=Event.State.CANCELLED)
    rang = earlier.filter(Q(ring_notches__isnull=False) | Q(ring_entries__isnull=False)).distinct()
    rows = (
        rang.exclude(pk=event.pk)
        .select_related("space")
        .prefetch_related("ring_notches__microphone", "ring_entries")
    )
    ordered = sorted(
        rows, key=lambda row: (row.space_id != event.space_id, -row.show_from.timestamp())
    )
    return [
        (row, list(row.ring_notches.all()), list(row.ring_entries.all()))
        for row in ordered[:MOST_BEFORE]
    ]
