"""Changes to drive lines."""

from collections.abc import Collection, Sequence

from rigs.people.models import Person
from rigs.systems import queries
from rigs.systems.actions.base import changing, name_the_programme_rating, remove, save
from rigs.systems.actions.parts import place_faults
from rigs.systems.faults import Faults, faults_of, refuse, way_fault
from rigs.systems.models import AmplifierPlace, DriveLine, Link

MOST_LINKS = 64
TRIED_OF_PLACE = ("amplifier", "unit", "gain_db")
TRIED_OF_LINE = ("amplifier_place", "first_channel", "mode", "channels", "level_control_db")


def save_line(
    line: DriveLine, links: Sequence[Link], seen: int | None, person: Person | None
) -> DriveLine:
    """Save a drive line and the boxes on it, in the order given.

    Faults of the n-th link stand under "links.n" (n from 0).
    """
    with changing(line):
        name_the_programme_rating(line, person)
        refuse(line_faults(line, links))
        save(line, seen, person)
        _store_links(line, links)
    return line


def keep_what_if(
    place: AmplifierPlace,
    seen_place: int,
    line: DriveLine,
    links: Sequence[Link],
    seen_line: int,
    person: Person,
) -> DriveLine:
    """Save an amplifier place and one of its lines together, or neither."""
    with changing(line):
        line.amplifier_place = place
        refuse(what_if_faults(place, line, links))
        stored = AmplifierPlace.objects.get(pk=place.pk)
        if (stored.amplifier_id, stored.gain_db) != (place.amplifier_id, place.gain_db):
            save(place, seen_place, person)
        save(line, seen_line, person)
        _store_links(line, links)
    return line


def what_if_faults(place: AmplifierPlace, line: DriveLine, links: Sequence[Link]) -> Faults:
    """Why a changed amplifier place and one of its lines could not be saved. Reads only."""
    found = place_faults(place, changing=line, only=TRIED_OF_PLACE)
    return found | line_faults(line, links, only=TRIED_OF_LINE)


def line_faults(line: DriveLine, links: Sequence[Link], only: Collection[str] = ()) -> Faults:
    """Why a line could not be saved. Reads only; `only` as in `faults_of`."""
    line.set_channels()
    return faults_of(line, only) | _foreign_faults(line) | _link_faults(line, links)


def _store_links(line: DriveLine, links: Sequence[Link]) -> None:
    line.links.all().delete()
    for order, link in enumerate(links, start=1):
        link.pk, link._state.adding = None, True
        link.line, link.order = line, order
        link.from_amplifier = link.from_amplifier or order == 1
    Link.objects.bulk_create(links)


def remove_line(line: DriveLine, seen: int) -> None:
    """Take a drive line out of the rig, unless an alignment counts on it; its boxes stay."""
    remove(line, seen, queries.alignments_of, _aligned)


def _aligned(line: object, alignments: Sequence[str]) -> str:
    many = "Alignments" if len(alignments) > 1 else "Alignment"
    verb = "count" if len(alignments) > 1 else "counts"
    return f"{many} {', '.join(alignments)} {verb} on {line}. Take it off there first."


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
        sentences = _faults_of_link(line, link, first=number == 0)
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


def _faults_of_link(line: DriveLine, link: Link, *, first: bool) -> list[str]:
    sentences: list[str] = []
    if link.placement.event_id != line.event_id:
        sentences.append("This box belongs to another event.")
    if link.way.loudspeaker_id != link.placement.loudspeaker_id:
        sentences.append(f"{link.placement.loudspeaker} has no way called {link.way}.")
    if not 1 <= link.pieces <= 20:
        sentences.append("From 1 to 20 pieces of cable in a row.")
    if link.series_with_previous and first:
        sentences.append("The first box has no box before it to be in series with.")
    elif link.series_with_previous and link.from_amplifier:
        sentences.append("A box in series is fed through the box before it, not by the amplifier.")
    return sentences
