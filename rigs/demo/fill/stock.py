"""Racks, units with the company's own serials, and counted pieces."""

from collections import defaultdict
from collections.abc import Iterator

from rigs.catalogue.models import Item
from rigs.demo.data.stock import COUNTS, RACKS, SERIAL, SET_ASIDE, UNITS
from rigs.demo.fill.catalogue import create_all
from rigs.stock.models import Count, Rack, Unit

Place = tuple[Rack | None, int | None]


def fill_stock(items: dict[str, Item]) -> None:
    """Write everything that the company owns. Serials run on in the order of the tables."""
    racks = [Rack(name=r.name, mass_empty_kg=r.empty_kg, notes=r.notes) for r in RACKS]
    create_all(Rack, racks)
    units, numbers = [], defaultdict[str, int](int)
    for serial, (model, (rack, position)) in enumerate(_pieces(racks), start=1):
        numbers[model] += 1
        fault = SET_ASIDE.get((model, numbers[model]), "")
        units.append(
            Unit(
                item=items[model], serial=SERIAL.format(serial), rack=rack, rack_position=position,
                fault=fault, state=Unit.State.SET_ASIDE if fault else Unit.State.READY,
            )
        )  # fmt: skip
    create_all(Unit, units)
    create_all(
        Count,
        (Count(item=items[m], owned=own, set_aside=aside) for m, (own, aside) in COUNTS.items()),
    )


def _pieces(racks: list[Rack]) -> Iterator[tuple[str, Place]]:
    """Every serialised piece: those in racks first, from top to bottom."""
    for rack, plan in zip(racks, RACKS, strict=True):
        for position, model in enumerate(plan.models, start=1):
            yield model, (rack, position)
    for model, count in UNITS.items():
        for _ in range(count):
            yield model, (None, None)
