"""Reads of rigs, each in a number of queries that does not grow with the rig or the events."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from django.db.models import Prefetch, Q, QuerySet, prefetch_related_objects

from rigs.catalogue.models import Cable, Kind, Loudspeaker
from rigs.events.models import Event, KitRow, UnitBooking
from rigs.stock.models import Unit
from rigs.systems.models import (
    AimProposal,
    Alignment,
    AmplifierPlace,
    DriveLine,
    LimiterNote,
    Link,
    ListeningSpot,
    MeasuredResponse,
    MixerPlace,
    Output,
    Override,
    Placement,
    ProcessorPlace,
    RackFeed,
    Revision,
    RigChoice,
    StageMicrophone,
    Support,
)
from venues.models import AudienceArea, Circuit, ListeningPlace, RoomSurface, Supply

KEY_FIELDS = ("pk", "amplifier_place", "processor_place", "output")


def rigs(event_ids: Iterable[int]) -> list[Event]:
    """Events with everything of their rigs, spaces and sheets already read, in order of time."""
    return _with_kits(list(_with_rigs(Event.objects.filter(pk__in=list(event_ids)))))


def rig(event_id: int) -> Event:
    """One event with its whole rig. Raises `Event.DoesNotExist`."""
    return _with_kits([_with_rigs(Event.objects.all()).get(pk=event_id)])[0]


def _with_kits(events: list[Event]) -> list[Event]:
    """Read the kit lists too where a truck's sum needs them."""
    loaded = [e for e in events if any(row.carries_kit for row in e.supports.all())]
    bookings = UnitBooking.objects.select_related("unit__rack")
    kit = KitRow.objects.select_related("item__cable").prefetch_related(
        Prefetch("unit_bookings", bookings)
    )
    prefetch_related_objects(loaded, Prefetch("kit", kit.order_by("pk")))
    return events


def rig_around(event_id: int, line_id: int) -> Event:
    """One event with only what the lines of one line's amplifier need: fewer reads.

    The figures of those lines are the same as in the whole rig. Raises `Event.DoesNotExist`.
    """
    place = DriveLine.objects.filter(pk=line_id).values("amplifier_place")
    lines = _keys(event_id, Q(amplifier_place__in=place))
    return _narrow(
        event_id,
        lines,
        "space__areas",
        Prefetch("processorplaces", _processors()),
        Prefetch("mixerplaces", MixerPlace.objects.select_related("mixer")),
        _newest_revisions(),
    )


def rig_around_output(event_id: int, place_id: int, number: int) -> Event:
    """One event with only the lines of one processor output, and those of its boxes' other ways.

    Of the current revision, only what these lines hang on. Raises `Event.DoesNotExist`.
    """
    mine = DriveLine.objects.filter(processor_place=place_id, output=number)
    boxes = Link.objects.filter(line__in=mine).values("placement")
    lines = _keys(event_id, Q(pk__in=mine) | Q(links__placement__in=boxes))
    places = {place_id} | {key.processor for key in lines if key.processor}
    numbers = {number} | {key.output for key in lines if key.output}
    outputs = _outputs().filter(processor_place__in=places, number__in=numbers)
    return _narrow(
        event_id,
        lines,
        Prefetch("space__areas", AudienceArea.objects.none()),
        Prefetch("mixerplaces", MixerPlace.objects.none()),
        Prefetch("processorplaces", _processors().filter(pk__in=places)),
        _newest_revisions(outputs),
    )


class _Key(NamedTuple):
    """A drive line, and the places that it hangs on."""

    line: int
    amplifier: int
    processor: int | None
    output: int | None


def _keys(event_id: int, chosen: Q) -> list[_Key]:
    lines = DriveLine.objects.filter(chosen, event=event_id)
    return [_Key(*row) for row in lines.values_list(*KEY_FIELDS).order_by("pk").distinct()]


def _narrow(event_id: int, lines: list[_Key], *rest: str | Prefetch) -> Event:
    """One event with some of its drive lines, their amplifiers and boxes, and no surroundings."""
    keys = [key.line for key in lines]
    boxes = Link.objects.filter(line__in=keys).values("placement")
    return (
        Event.objects.select_related("space__venue")
        .prefetch_related(
            Prefetch("amplifierplaces", _amplifiers().filter(pk__in={k.amplifier for k in lines})),
            Prefetch("placements", _boxes().filter(pk__in=boxes)),
            Prefetch("drivelines", _lines().filter(pk__in=keys)),
            Prefetch("rigchoices", RigChoice.objects.select_related("limiter_basis_by")),
            *rest,
            *_nothing_around(),
        )
        .get(pk=event_id)
    )


def _nothing_around() -> list[Prefetch]:
    return [
        Prefetch("space__supplies", Supply.objects.none()),
        Prefetch("space__circuits", Circuit.objects.none()),
        Prefetch("space__places", ListeningPlace.objects.none()),
        Prefetch("space__surfaces", RoomSurface.objects.none()),
        Prefetch("rackfeeds", RackFeed.objects.none()),
        Prefetch("supports", Support.objects.none()),
        Prefetch("listeningspots", ListeningSpot.objects.none()),
        Prefetch("measuredresponses", MeasuredResponse.objects.none()),
        Prefetch("alignments", Alignment.objects.none()),
        Prefetch("stagemicrophones", StageMicrophone.objects.none()),
    ]


def _with_rigs(events: QuerySet[Event]) -> QuerySet[Event]:
    feeds = RackFeed.objects.select_related("amplifier_place", "supply", "circuit", "cable")
    supports = Support.objects.select_related("hang_point", "accessory")
    return events.select_related("space__venue").prefetch_related(
        "space__areas",
        "space__places",
        "space__surfaces",
        "space__supplies",
        Prefetch("space__circuits", Circuit.objects.select_related("supply")),
        Prefetch("amplifierplaces", _amplifiers()),
        Prefetch("processorplaces", _processors()),
        Prefetch("placements", _boxes()),
        Prefetch("drivelines", _lines()),
        *_chosen(),
        _newest_revisions(),
        *_aligned(),
        "stagemicrophones__not_played_by",
        Prefetch("rackfeeds", feeds),
        Prefetch("supports", supports.prefetch_related("loads")),
    )


def _amplifiers() -> QuerySet[AmplifierPlace]:
    places = AmplifierPlace.objects.select_related("amplifier", "unit")
    return places.prefetch_related("amplifier__ratings", "amplifier__modes")


def _processors() -> QuerySet[ProcessorPlace]:
    places = ProcessorPlace.objects.select_related("processor", "unit")
    return places.prefetch_related("processor__dials", "processor__slopes")


def _boxes() -> QuerySet[Placement]:
    boxes = Placement.objects.select_related("loudspeaker", "unit", "support")
    return boxes.prefetch_related("loudspeaker__ways")


def _lines() -> QuerySet[DriveLine]:
    links = Link.objects.select_related("placement", "way", "cable").order_by("order")
    lines = DriveLine.objects.select_related(
        "amplifier_place__amplifier",
        "processor_place__processor",
        "changed_by",
        "limiter_basis_by",
    )
    return lines.prefetch_related(Prefetch("links", links))


def _chosen() -> list[Prefetch]:
    return [
        Prefetch("mixerplaces", MixerPlace.objects.select_related("mixer")),
        Prefetch("rigchoices", RigChoice.objects.select_related("limiter_basis_by")),
    ]


def _newest_revisions(outputs: QuerySet[Output] | None = None) -> Prefetch:
    """Each event's current revision, as the list `newest_revisions` of none or one.

    `outputs` are those to read; all where None.
    """
    newest = _whole_revisions(outputs).order_by("event_id", "-number").distinct("event_id")
    return Prefetch("revisions", newest, to_attr="newest_revisions")


def _whole_revisions(outputs: QuerySet[Output] | None = None) -> QuerySet[Revision]:
    read = _outputs() if outputs is None else outputs
    return Revision.objects.select_related("made_by").prefetch_related(Prefetch("outputs", read))


def _outputs() -> QuerySet[Output]:
    return Output.objects.select_related("processor_place__processor").prefetch_related("filters")


def _aligned() -> list[Prefetch]:
    lines = DriveLine.objects.only("name", "event")
    alignments = Alignment.objects.select_related("spot", "changed_by").prefetch_related(
        Prefetch("moved", lines), Prefetch("reference", lines)
    )
    measured = MeasuredResponse.objects.select_related("line", "spot", "changed_by")
    return [
        Prefetch("listeningspots", ListeningSpot.objects.select_related("changed_by")),
        Prefetch("measuredresponses", measured),
        Prefetch("alignments", alignments),
    ]


def revisions(event: Event) -> list[Revision]:
    """All revisions of an event, newest first, with their outputs and filters."""
    return list(_whole_revisions().filter(event=event))


def current_revision(event: Event) -> Revision | None:
    """What the processors of an event are set to; None where nobody said anything yet."""
    return _whole_revisions().filter(event=event).first()


def last_time_at_venue(event: Event) -> Revision | None:
    """What the last event before this one at the same venue ended with, with its event."""
    earlier = (
        _whole_revisions()
        .select_related("event", "made_by")
        .filter(event__space__venue=event.space.venue_id, event__show_from__lt=event.show_from)
    )
    held = earlier.exclude(event__state=Event.State.CANCELLED).exclude(event=event)
    return held.order_by("-event__show_from", "-event_id", "-number").first()


def alignments_at(spot: ListeningSpot) -> list[str]:
    """Names of the alignments that are judged at a spot."""
    return sorted(spot.alignments.values_list("name", flat=True))


def alignments_of(line: DriveLine) -> list[str]:
    """Names of the alignments that a line is part of."""
    either = Q(moved=line) | Q(reference=line)
    rows = Alignment.objects.filter(either, event=line.event_id)
    return sorted(set(rows.values_list("name", flat=True)))


@dataclass
class Listed:
    """What the kit list says of one item: pieces for use, and spares."""

    name: str
    kind: str
    in_use: int = 0
    spare: int = 0


def listed_items(event: Event) -> dict[int, Listed]:
    """Per item id what the event's kit list has of it."""
    found: dict[int, Listed] = {}
    for row in KitRow.objects.filter(event=event).select_related("item"):
        listed = found.setdefault(row.item_id, Listed(str(row.item), row.item.kind))
        if row.place == KitRow.Place.SPARE:
            listed.spare += row.quantity
        else:
            listed.in_use += row.quantity
    return found


def booked_unit_ids(event: Event) -> set[int]:
    """Units promised to this event."""
    return set(UnitBooking.objects.filter(row__event=event).values_list("unit_id", flat=True))


def offered_units(event: Event, kind: Kind, current: Unit | None) -> list[Unit]:
    """Units of one kind that this event has booked, and the one chosen now even if it has not."""
    ids = booked_unit_ids(event) | ({current.pk} if current else set())
    units = Unit.objects.filter(pk__in=ids, item__kind=kind).select_related("item")
    return list(units.order_by("item__maker", "item__model", "serial"))


def kit_item_ids(event: Event) -> set[int]:
    """Items that stand on the event's kit list."""
    return set(KitRow.objects.filter(event=event).values_list("item_id", flat=True))


def loudspeaker_cables() -> QuerySet[Cable]:
    """Cables for loudspeakers, by name."""
    return Cable.objects.filter(use=Cable.Use.LOUDSPEAKER).order_by("maker", "model")


def boxes_with_ways(event: Event) -> list[Placement]:
    """The event's placements with the ways of their loudspeakers."""
    boxes = event.placements.select_related("loudspeaker")
    return list(boxes.prefetch_related("loudspeaker__ways").order_by("name"))


def driven_ways(event: Event) -> dict[tuple[int, int], DriveLine]:
    """Which line drives which (placement id, way id) of an event."""
    links = Link.objects.filter(line__event=event).select_related("line")
    return {(link.placement_id, link.way_id): link.line for link in links}


def lines_on_channels(line: DriveLine) -> list[DriveLine]:
    """Other lines that use a channel which this line wants (set its `channels` first)."""
    others = DriveLine.objects.filter(
        amplifier_place=line.amplifier_place_id, channels__overlap=line.channels
    )
    return list(others.exclude(pk=line.pk))


def channels_used(event: Event) -> dict[int, Counter[int]]:
    """Per amplifier place the channels that drive lines use."""
    used: dict[int, Counter[int]] = {}
    for line in DriveLine.objects.filter(event=event):
        span = range(line.first_channel, line.first_channel + line.width)
        used.setdefault(line.amplifier_place_id, Counter()).update(span)
    return used


def lines_with_box(placement: Placement) -> list[str]:
    """Names of the drive lines that a placement stands on."""
    lines = DriveLine.objects.filter(links__placement=placement)
    return sorted(set(lines.values_list("name", flat=True)))


def loudspeakers() -> QuerySet[Loudspeaker]:
    """All loudspeaker types, by name."""
    return Loudspeaker.objects.order_by("maker", "model")


def rack_names(event: Event) -> set[str]:
    """The racks that amplifiers of the rig travel in."""
    places = AmplifierPlace.objects.filter(event=event).exclude(rack="")
    return set(places.values_list("rack", flat=True))


def amplifiers_in_no_rack(event: Event) -> list[AmplifierPlace]:
    """Amplifiers that are plugged by themselves."""
    return list(AmplifierPlace.objects.filter(event=event, rack="").select_related("amplifier"))


def feeds(event: Event) -> list[RackFeed]:
    """The mains feeds of a rig."""
    rows = RackFeed.objects.filter(event=event)
    return list(rows.select_related("event", "amplifier_place", "supply", "circuit"))


def open_overrides(event: Event) -> list[Override]:
    """Overrides that nobody has withdrawn, expired ones too."""
    rows = Override.objects.filter(event=event, withdrawn_at__isnull=True)
    return list(rows.select_related("person", "second_person"))


def limiter_note(line: DriveLine) -> LimiterNote | None:
    """What somebody set at the processor for a line."""
    return LimiterNote.objects.filter(line=line).select_related("person").first()


def aims(event: Event) -> QuerySet[AimProposal]:
    """Proposals of an event, newest first, without their frozen rigs."""
    rows = AimProposal.objects.filter(event=event).select_related("asked_by", "accepted_by")
    return rows.defer("description", "freedoms", "result")
