"""What is not finished in a rig, in sentences, each with the page that mends it."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import reverse

from rigs.catalogue.models import Cable, Kind
from rigs.events.models import Event
from rigs.stock.models import Unit
from rigs.systems import queries

IN_THE_RIG = (Kind.LOUDSPEAKER, Kind.AMPLIFIER, Kind.PROCESSOR)


@dataclass(frozen=True, slots=True)
class Open:
    """One thing that is open; `url` leads to where it is mended."""

    sentence: str
    url: str = ""


def unfinished(event: Event) -> list[Open]:
    """Everything open in a rig that `queries.rig` has read (two more queries)."""
    kit = queries.listed_items(event)
    booked = queries.booked_unit_ids(event)
    return [
        *_undriven(event),
        *_lines(event),
        *_idle(event),
        *_units(event, booked),
        *_against_kit(event, kit),
    ]


def _undriven(event: Event) -> Iterator[Open]:
    driven = {
        (link.placement_id, link.way_id)
        for line in event.drivelines.all()
        for link in line.links.all()
    }
    for box in event.placements.all():
        ways = list(box.loudspeaker.ways.all())
        left = [way for way in ways if (box.pk, way.pk) not in driven]
        if not ways:
            yield Open(f"{box}: {box.loudspeaker} has no way in the catalogue.")
        elif left:
            names = " and ".join(f"'{way}'" for way in left)
            yield Open(
                f"{box} {names} is driven by nobody.",
                reverse("systems:line_new", args=[event.pk]) + f"?box={box.pk}:{left[0].pk}",
            )


def _lines(event: Event) -> Iterator[Open]:
    for line in event.drivelines.all():
        url = reverse("systems:line", args=[event.pk, line.pk])
        links = list(line.links.all())
        if not links:
            yield Open(f"{line} drives no box.", url)
        if line.processor_place is None or line.output is None:
            yield Open(f"{line} has no processor output stated.", url)
        without = [f"{link.placement}" for link in links if link.cable is None]
        if without:
            yield Open(f"{line} has no cable stated to {' and '.join(without)}.", url)


def _idle(event: Event) -> Iterator[Open]:
    used = {line.amplifier_place_id for line in event.drivelines.all()}
    for place in event.amplifierplaces.all():
        if place.pk not in used:
            yield Open(
                f"{place} drives nothing.",
                reverse("systems:amplifier", args=[event.pk, place.pk]),
            )


def _units(event: Event, booked: set[int]) -> Iterator[Open]:
    groups = (
        ("placement", event.placements.all()),
        ("amplifier", event.amplifierplaces.all()),
        ("processor", event.processorplaces.all()),
    )
    for kind, places in groups:
        for place in places:
            unit: Unit | None = place.unit
            if unit is None:
                continue
            url = reverse(f"systems:{kind}", args=[event.pk, place.pk])
            if unit.state != Unit.State.READY:
                reason = f": {unit.fault}" if unit.fault else ""
                yield Open(f"{place} is unit {unit}, which is {unit.state}{reason}.", url)
            if unit.pk not in booked:
                yield Open(f"{place} is unit {unit}, which is not on the kit list.", url)


def _against_kit(event: Event, kit: dict[int, queries.Listed]) -> Iterator[Open]:
    used, names = _used(event)
    url = reverse("events:kit", args=[event.pk])
    for item, pieces in sorted(used.items(), key=lambda pair: names[pair[0]]):
        listed = kit[item].in_use + kit[item].spare if item in kit else 0
        if listed < pieces:
            there = f"{listed or 'none'} on the kit list"
            yield Open(f"{pieces} x {names[item]} in the rig, {there}.", url)
    for item, row in sorted(kit.items(), key=lambda pair: pair[1].name):
        left = row.in_use - used[item]
        if row.kind in IN_THE_RIG and left > 0:
            verb = "stands" if left == 1 else "stand"
            yield Open(f"{left} x {row.name} on the kit list {verb} nowhere in the rig.")


def _used(event: Event) -> tuple[Counter[int], dict[int, str]]:
    """Pieces of each item in the rig, and the items' names."""
    used: Counter[int] = Counter()
    names: dict[int, str] = {}
    pieces = [
        *((box.loudspeaker, 1) for box in event.placements.all()),
        *((place.amplifier, 1) for place in event.amplifierplaces.all()),
        *((place.processor, 1) for place in event.processorplaces.all()),
        *cables_needed(event).items(),
    ]
    for item, count in pieces:
        used[item.pk] += count
        names[item.pk] = str(item)
    return used, names


def cables_needed(event: Event) -> Counter[Cable]:
    """Pieces of each cable: the ways of one box share one cable as far as its pole pairs go."""
    runs: dict[tuple[int, Cable], list[int]] = defaultdict(list)
    for line in event.drivelines.all():
        for link in line.links.all():
            if link.cable is not None:
                runs[link.placement_id, link.cable].append(link.pieces)
    needed: Counter[Cable] = Counter()
    for (_, cable), pieces in runs.items():
        needed[cable] += sum(sorted(pieces, reverse=True)[:: cable.pole_pairs])
    return needed
