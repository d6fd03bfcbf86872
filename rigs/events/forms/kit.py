"""The kit list's one form: all that is typed travels with every button, so nothing is lost.

Fields: `quantity-ROW` with `seen-ROW` for rows, `new-ITEM` and `place-ITEM` for search results.
Buttons: `add` (an item's id), `tap` ("item:count:place:field it answers:wanted"), `add_rack`,
`take_off` (a row's id), `replace` ("row:unit"), `miss` ("row:pieces noted as missing:field"),
`enter` (save changed quantities, and search).
"""

from collections.abc import Callable, Mapping
from functools import partial
from typing import TypeVar

from django.db.models import Model

from rigs.catalogue.models import Item, Kind
from rigs.events import actions
from rigs.events.kit_page import PLACE_OF_KIND, Fault, Tap, Typed
from rigs.events.models import Event, KitRow
from rigs.events.quantities import whole_number
from rigs.events.refusals import Promised, Refused, Shortage
from rigs.stock.models import Rack, Unit

GONE = "This is no longer there. Look at the list again."
PAGE = "page"  # faults that belong to no field
AT_LEAST_ONE = "Put at least one piece on the list."
Row = TypeVar("Row", bound=Model)


class KitForm:
    """One post of the page: `apply` makes the changes and keeps what could not be done."""

    def __init__(self, event: Event, posted: Mapping[str, str]) -> None:
        self.event = event
        self.posted = posted
        self.faults: dict[str, Fault] = {}
        self.said: list[str] = []
        self.done: set[str] = set()

    def apply(self) -> bool:
        """Do what the pressed button says; False if anything was refused."""
        buttons: dict[str, Callable[[str], None]] = {
            "add": self._add,
            "tap": self._tap,
            "add_rack": self._add_rack,
            "take_off": self._take_off,
            "replace": self._replace,
            "miss": self._miss,
        }
        pressed = next((name for name in buttons if name in self.posted), None)
        if pressed:
            buttons[pressed](self.posted[pressed])
        else:
            self._save_quantities()
        return not self.faults

    @property
    def typed(self) -> Typed:
        """What is to be shown again: everything but what has been done."""
        kept = {name: text for name, text in self.posted.items() if self._is_open(name, text)}
        return Typed(kept, self.faults)

    def _is_open(self, name: str, text: str) -> bool:
        """Typed, and not done yet. A quantity nobody touched is read from the list anew."""
        seen = self.posted.get(name.replace("quantity-", "seen-", 1))
        untouched = name.startswith("quantity-") and text.strip() == seen
        return name not in self.done and not untouched

    @property
    def added(self) -> int | None:
        """The item that a button was pressed for, so that its timeline can be drawn."""
        key = self.posted.get("add") or self.posted.get("tap", "").partition(":")[0]
        return int(key) if key.isdigit() else None

    def _try(self, field: str, change: Callable[[], None], place: str = "") -> None:
        """Run a change; a refusal goes by the field, with what would do instead."""
        try:
            change()
            self.done.add(field)
        except Promised as short:
            self.faults[field] = Fault(str(short), _taps(short, place, field))
        except Refused as no:
            self.faults[field] = Fault(str(no))

    # --- one method a button -----------------------------------------------------------------

    def _save_quantities(self) -> None:
        rows = {str(row.pk): row for row in self.event.kit.select_related("item")}
        for name, text in list(self.posted.items()):
            key = name.removeprefix("quantity-")
            seen = self.posted.get(f"seen-{key}", "")
            if key != name and key in rows and text.strip() != seen:
                row = rows[key]
                self._try(name, partial(self._set, row, text, seen), row.place)

    def _set(self, row: KitRow, text: str, seen: str) -> None:
        quantity = whole_number(text)
        actions.set_quantity(row, quantity, seen=int(seen) if seen.isdigit() else None)
        self.said.append(f"{row.item}: now {quantity}.")

    def _add(self, key: str) -> None:
        item = _by_id(Item, key)
        field = f"new-{key}" if item else PAGE
        place = self.posted.get(f"place-{key}", "")

        def change() -> None:
            self._put(item, self.posted.get(field, ""), place)

        self._try(field, change, place)

    def _tap(self, value: str) -> None:
        key, count, place, answers, wanted = (*value.split(":", 4), "", "", "", "")[:5]
        item = _by_id(Item, key)
        field = f"new-{key}" if item else PAGE
        self._try(field, lambda: self._put(item, count, place, wanted), place)
        if not self.faults:
            self.done.add(answers)

    def _put(self, item: Item | None, count: str, place: str, wanted: str = "") -> None:
        if item is None:
            raise Refused(GONE)
        quantity = whole_number(count, AT_LEAST_ONE)
        wish = whole_number(wanted) if wanted else quantity
        place = place or PLACE_OF_KIND[Kind(item.kind)]
        if place not in KitRow.Place.values:
            raise Refused("Say where it travels: rack, line, stage or spare.")
        row = actions.put_on_kit(self.event, item, quantity, place=place, wanted=wish)
        total = f", {row.quantity} in all" if row.quantity != quantity else ""
        missing = f" {row.short_by} noted as missing." if row.short_by else ""
        self.said.append(f"Added {quantity} x {item} ({place}{total}).{missing}")

    def _add_rack(self, _: str) -> None:
        rack = _by_id(Rack, self.posted.get("rack", ""))

        def change() -> None:
            if rack is None:
                raise Refused("Choose a rack.")
            rows = actions.put_rack_on_kit(self.event, rack)
            self.said.append(f"Added {rack}: {', '.join(str(row.item) for row in rows)}.")

        self._try("rack", change)

    def _take_off(self, key: str) -> None:
        row = self._row(key)
        if row is not None:
            actions.take_off(row)
            self.said.append(f"Took off {row.quantity} x {row.item}.")

    def _replace(self, value: str) -> None:
        key, _, unit_key = value.partition(":")
        row, unit = self._row(key), _by_id(Unit, unit_key)

        def change() -> None:
            if row is None or unit is None:
                raise Refused(GONE)
            actions.replace_unit(row, unit)
            self.said.append(f"{unit} stays here; another {row.item} goes in its place.")

        self._try(f"quantity-{key}" if row else PAGE, change)

    def _miss(self, value: str) -> None:
        key, number, answers = (*value.split(":", 2), "", "")[:3]
        row = self._row(key)

        def change() -> None:
            if row is None or not number.isdigit():
                raise Refused(GONE)
            noted = actions.note_missing(row, int(number))
            now = f"{noted.short_by} noted as missing" if noted.short_by else "nothing missing"
            self.said.append(f"{row.item}: {noted.quantity} on the list, {now}.")

        self._try(f"quantity-{key}" if row else PAGE, change)
        if not self.faults:
            self.done.add(answers)

    def _row(self, key: str) -> KitRow | None:
        rows = KitRow.objects.select_related("item", "event__space__venue")
        return rows.filter(pk=key, event=self.event).first() if key.isdigit() else None


def _taps(short: Promised, place: str, field: str) -> list[Tap]:
    """What can be had instead, as buttons: the rest that is free, and each stand-in."""
    taps = []
    for shortage in short.shortages:
        if not isinstance(shortage, Shortage):
            continue
        taps += _of_what_is_free(shortage, place, field)
        taps += [
            Tap(
                f"Add {shortage.wanted} x {offer.item}",
                f"{offer.item.pk}:{shortage.wanted}:{place}:{field}",
            )
            for offer in shortage.offers
        ]
    return taps


def _of_what_is_free(shortage: Shortage, place: str, field: str) -> list[Tap]:
    """Take what there is, with or without a note of what is missing."""
    free, lacking = shortage.free, shortage.wanted - shortage.free
    answer = f"{shortage.item.pk}:{free}:{place}:{field}"
    the_free = f"the {free} that {'is' if free == 1 else 'are'} free"
    if free and lacking > 0:
        noting = Tap(f"Take {the_free}, note {lacking} missing", f"{answer}:{shortage.wanted}")
        return [noting, Tap(f"Add {the_free}", answer)]
    row = field.removeprefix("quantity-")
    if row != field:
        return [Tap(f"Leave it, note {lacking} missing", f"{row}:{lacking}:{field}", "miss")]
    return []


def _by_id(model: type[Row], key: str) -> Row | None:
    return model._default_manager.filter(pk=key).first() if key.isdigit() else None
