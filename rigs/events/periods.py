"""How long an event binds a piece of kit: half-open periods [start, end) with their buffers."""

from datetime import datetime
from typing import NamedTuple

from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from rigs.catalogue.models import Item


class Period(NamedTuple):
    """From `start` up to, but not with, `end`; both with a time zone."""

    start: datetime
    end: datetime

    def overlaps(self, other: "Period") -> bool:
        return self.start < other.end and other.start < self.end

    @property
    def as_range(self) -> DateTimeTZRange:
        """The same as the database stores it."""
        return DateTimeTZRange(self.start, self.end)


def with_buffers(out_at: datetime, back_at: datetime, item: Item) -> Period:
    """Times out of the warehouse, widened by the item's preparation and test."""
    return Period(out_at - item.preparation, back_at + item.turnaround)
