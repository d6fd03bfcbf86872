"""What a cancelled event keeps of its choices, and how it gets them again.

Only `actions` calls this, inside its transaction.
"""

from collections.abc import Sequence

from rigs.events.booking import book
from rigs.events.models import Event, KitRow
from rigs.events.refusals import Promised, Refused, Sentence, Shortage
from rigs.stock.locks import lock_items
from rigs.stock.models import Unit


def keep_choices(event: Event) -> None:
    """Remember which units were chosen by serial."""
    for row in event.kit.prefetch_related("unit_bookings"):
        row.chosen_before.set([b.unit_id for b in row.unit_bookings.all() if b.chosen])


def book_again(event: Event) -> list[str]:
    """Promise every row in full, or raise Promised with all clashes.

    A serial that can't be had again is replaced by any unit; a sentence says so.
    """
    rows = list(event.kit.select_related("item").order_by("item_id", "pk"))
    lock_items(row.item_id for row in rows)
    clashes: list[Shortage | Sentence] = []
    told: list[str] = []
    for row in rows:
        row.event = event
        try:
            told += _book_row(row, list(row.chosen_before.order_by("serial")))
        except Promised as clash:
            clashes += clash.shortages
    if clashes:
        raise Promised(*clashes)
    for row in rows:
        row.chosen_before.clear()
    return told


def _book_row(row: KitRow, wished: Sequence[Unit]) -> list[str]:
    """Promise the row with as many of the wished units as can be had."""
    try:
        book(row, row.quantity, [unit.pk for unit in wished])
        return []
    except Refused:
        if not wished:
            raise
    had: list[int] = []
    told = []
    for unit in wished:
        try:
            book(row, len(had) + 1, [*had, unit.pk])
            had.append(unit.pk)
        except Refused as no:
            told.append(f"{row.item} {unit} could not be had again: {no}")
    book(row, row.quantity, had)
    return told
