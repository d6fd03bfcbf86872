"""Changes to a rig: each whole or not at all, each telling in a sentence why not.

Every action locks the event's rig first, so that two people who save at the same time come one
after the other and the checks that span several rows hold. `seen` is the version that the
person had on the page (None for something new); an older one raises `ChangedMeanwhile`.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TypeVar

from django.db import IntegrityError, transaction

from rigs.catalogue.models import Loudspeaker
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import queries
from rigs.systems.faults import (
    Faults,
    NotSaved,
    faults_of,
    from_database,
    refuse,
    way_fault,
)
from rigs.systems.models import (
    AmplifierPlace,
    DriveLine,
    Link,
    PartOfRig,
    Placement,
    ProcessorPlace,
)
from rigs.versions import ChangedMeanwhile, save_over

Part = TypeVar("Part", bound=PartOfRig)

MOST_LINKS = 64


def save_placement(placement: Placement, seen: int | None, person: Person | None) -> Placement:
    """Save a placement. A box on a drive line keeps its type: the line knows its ways."""
    with _changing(placement):
        refuse(faults_of(placement) | _type_change_faults(placement))
        _save(placement, seen, person)
    return placement


def save_amplifier_place(
    place: AmplifierPlace, seen: int | None, person: Person | None
) -> AmplifierPlace:
    """Save an amplifier place; its lines must still find their channels."""
    with _changing(place):
        refuse(faults_of(place))
        for line in place.lines.all() if place.pk else ():
            last = line.first_channel + line.width - 1
            have = place.amplifier.channels
            if last > have:
                sentence = f"{line} uses channel {last}; {place.amplifier} has {have}."
                raise NotSaved({"amplifier": [sentence]})
        _save(place, seen, person)
    return place


def save_processor_place(
    place: ProcessorPlace, seen: int | None, person: Person | None
) -> ProcessorPlace:
    """Save a processor place; its lines must still find their outputs."""
    with _changing(place):
        refuse(faults_of(place))
        for line in place.lines.all() if place.pk else ():
            have = place.processor.outputs
            if line.output and line.output > have:
                sentence = f"{line} uses output {line.output}; {place.processor} has {have}."
                raise NotSaved({"processor": [sentence]})
        _save(place, seen, person)
    return place


def save_line(
    line: DriveLine, links: Sequence[Link], seen: int | None, person: Person | None
) -> DriveLine:
    """Save a drive line and the boxes on it, in the order given.

    Faults of the n-th link stand under "links.n" (n from 0).
    """
    with _changing(line):
        line.set_channels()
        refuse(faults_of(line) | _foreign_faults(line) | _link_faults(line, links))
        _save(line, seen, person)
        line.links.all().delete()
        for order, link in enumerate(links, start=1):
            link.pk = None
            link.line, link.order = line, order
            link.from_amplifier = link.from_amplifier or order == 1
        Link.objects.bulk_create(links)
    return line


def place_several(placements: Sequence[Placement], person: Person | None) -> list[Placement]:
    """Add several new placements of one event, or none."""
    if not placements:
        return []
    with _changing(placements[0]):
        for placement in placements:
            refuse(_named(placement.name, faults_of(placement)))
            _save(placement, None, person)
    return list(placements)


def place_row(
    event: Event,
    person: Person | None,
    *,
    loudspeaker: Loudspeaker,
    count: int,
    stem: str,
    first_number: int,
    x_m: float,
    y_m: float,
    z_m: float,
    spacing_m: float,
    direction_deg: float,
    azimuth_deg: float,
    tilt_deg: float,
) -> list[Placement]:
    """Place `count` boxes in a straight row: "Sub 1" at (x, y), the next `spacing_m` further.

    `direction_deg` is where the row runs, clockwise from the y axis as azimuths are.
    """
    turn = math.radians(direction_deg)
    return place_several(
        [
            Placement(
                event=event,
                name=f"{stem} {first_number + step}",
                loudspeaker=loudspeaker,
                x_m=round(x_m + step * spacing_m * math.sin(turn), 3),
                y_m=round(y_m + step * spacing_m * math.cos(turn), 3),
                z_m=z_m,
                azimuth_deg=azimuth_deg,
                tilt_deg=tilt_deg,
            )
            for step in range(count)
        ],
        person,
    )


def remove_placement(placement: Placement, seen: int) -> None:
    """Take a box out of the rig, unless a line drives it."""
    _remove(placement, seen, queries.lines_with_box)


def remove_amplifier_place(place: AmplifierPlace, seen: int) -> None:
    """Take an amplifier out of the rig, unless a line uses it."""
    _remove(place, seen, lambda row: [line.name for line in row.lines.all()])


def remove_processor_place(place: ProcessorPlace, seen: int) -> None:
    """Take a processor out of the rig, unless a line uses it."""
    _remove(place, seen, lambda row: [line.name for line in row.lines.all()])


def remove_line(line: DriveLine, seen: int) -> None:
    """Take a drive line out of the rig; its boxes and its amplifier stay."""
    _remove(line, seen, lambda row: [])


@contextmanager
def _changing(row: PartOfRig) -> Iterator[None]:
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


def _save(row: PartOfRig, seen: int | None, person: Person | None) -> None:
    if row.pk is None:
        row.changed_by = person
        row.save()
        return
    try:
        save_over(row, seen or 0, person)
    except type(row).DoesNotExist as gone:
        raise NotSaved({"": [_gone(row)]}) from gone


def _gone(row: PartOfRig) -> str:
    return f"Somebody removed {row} while you had it open. Add it anew if it is still needed."


def _remove(row: Part, seen: int, users_of: Callable[[Part], list[str]]) -> None:
    with _changing(row):
        stored = type(row)._default_manager.select_for_update().filter(pk=row.pk).first()
        if stored is None:
            return  # gone is what was wanted
        users = users_of(stored)
        if users:
            raise NotSaved({"": [_in_use(row, users)]})
        if stored.version != seen:
            raise ChangedMeanwhile(stored)
        stored.delete()


def _in_use(row: PartOfRig, lines: list[str]) -> str:
    if len(lines) == 1:
        return f"{row} is on drive line {lines[0]}. Take it off that line first."
    return f"{row} is on drive lines {', '.join(lines)}. Take it off those lines first."


def _type_change_faults(placement: Placement) -> Faults:
    if placement.pk is None:
        return {}
    stored = Placement.objects.filter(pk=placement.pk).select_related("loudspeaker").first()
    if stored is None or stored.loudspeaker_id == placement.loudspeaker_id:
        return {}
    lines = queries.lines_with_box(stored)
    if not lines:
        return {}
    return {
        "loudspeaker": [
            f"Drive line {', '.join(lines)} drives {stored} as a {stored.loudspeaker}. "
            "Take it off the line first, then change the type."
        ]
    }


def _foreign_faults(line: DriveLine) -> Faults:
    """Parts of another event's rig can only come from a page that was tampered with."""
    faults: Faults = {}
    if line.amplifier_place.event_id != line.event_id:
        faults["amplifier_place"] = ["This amplifier belongs to another event."]
    if line.processor_place and line.processor_place.event_id != line.event_id:
        faults["processor_place"] = ["This processor belongs to another event."]
    return faults


def _link_faults(line: DriveLine, links: Sequence[Link]) -> Faults:
    if len(links) > MOST_LINKS:
        return {"links": [f"At most {MOST_LINKS} boxes on one line."]}
    driven = queries.driven_ways(line.event)
    faults: Faults = {}
    here: set[tuple[int, int]] = set()
    for number, link in enumerate(links):
        sentences = _faults_of_link(line, link)
        key = (link.placement_id, link.way_id)
        other = driven.get(key)
        if key in here:
            sentences.append(f"{link.placement} '{link.way}' stands on this line twice.")
        elif other is not None and other.pk != line.pk:
            sentences.append(way_fault(link, other))
        here.add(key)
        if sentences:
            faults[f"links.{number}"] = sentences
    return faults


def _faults_of_link(line: DriveLine, link: Link) -> list[str]:
    sentences: list[str] = []
    if link.placement.event_id != line.event_id:
        sentences.append("This box belongs to another event.")
    if link.way.loudspeaker_id != link.placement.loudspeaker_id:
        sentences.append(f"{link.placement.loudspeaker} has no way called {link.way}.")
    if not 1 <= link.pieces <= 20:
        sentences.append("From 1 to 20 pieces of cable in a row.")
    return sentences


def _named(name: str, faults: Faults) -> Faults:
    return {
        field: [f"{name}: {sentence}" for sentence in sentences]
        for field, sentences in faults.items()
    }
