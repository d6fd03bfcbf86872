"""One valid row of each kind, for tests. Keyword arguments override any field."""

from datetime import UTC, datetime, timedelta
from itertools import count as counter
from typing import Any

from django.contrib.auth.models import Group

from rigs.catalogue.models import (
    Accessory,
    Amplifier,
    AmplifierMode,
    Cable,
    Connector,
    End,
    Item,
    Loudspeaker,
    Mode,
    Processor,
    Rating,
    Way,
)
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.stock.models import Count, Rack, Unit
from rigs.systems import actions
from rigs.systems.models import (
    AmplifierPlace,
    DriveLine,
    Link,
    ListeningSpot,
    Placement,
    ProcessorPlace,
    Revision,
)
from rigs.systems.plans import OutputPlan, plans_of
from rigs.systems.queries import current_revision
from venues.models import AudienceArea, Space, Venue

NOON = datetime(2030, 6, 1, 12, tzinfo=UTC)
_number = counter(1)


def person(role: str, username: str = "") -> Person:
    """A person in the group of that role."""
    user = Person.objects.create_user(username or f"{role.replace(' ', '-')}-{next(_number)}")
    user.groups.add(Group.objects.get(name=role))
    return user


def venue(**fields: Any) -> Venue:
    return Venue.objects.create(**{"name": f"Venue {next(_number)}", "zone": "UTC"} | fields)


def space(**fields: Any) -> Space:
    fields.setdefault("venue", None)
    if fields["venue"] is None:
        fields["venue"] = venue()
    return Space.objects.create(**{"name": "Floor"} | fields)


def area(**fields: Any) -> AudienceArea:
    if "space" not in fields:
        fields["space"] = space()
    defaults = {"name": f"Area {next(_number)}", "corners": [[-5, 3], [5, 3], [5, 15], [-5, 15]]}
    return AudienceArea.objects.create(**defaults | fields)


def event(**fields: Any) -> Event:
    """An event whose kit is out from `out_at` (default NOON) for two days."""
    out = fields.setdefault("out_at", NOON)
    if "space" not in fields:
        fields["space"] = space()
    defaults = {
        "name": f"Event {next(_number)}",
        "load_in_at": out + timedelta(hours=4),
        "show_from": out + timedelta(hours=10),
        "show_until": out + timedelta(hours=14),
        "back_at": out + timedelta(hours=48),
    }
    return Event.objects.create(**defaults | fields)


def _item(kind: type[Item], defaults: dict[str, Any], fields: dict[str, Any]) -> Any:
    named = {"maker": "Testmade", "model": f"{kind.__name__} {next(_number)}", "mass_kg": 10.0}
    return kind.objects.create(**named | defaults | fields)


def loudspeaker(*, way: dict[str, Any] | None = None, **fields: Any) -> Loudspeaker:
    """A passive 8 ohm, 400 W top with one way; `way` overrides its figures."""
    box = _item(
        Loudspeaker, {"role": "top", "width_m": 0.35, "height_m": 0.6, "depth_m": 0.35}, fields
    )
    add_way(box, **way or {})
    return box


def add_way(box: Loudspeaker, **fields: Any) -> Way:
    defaults = {
        "order": box.ways.count() + 1,
        "name": "full range" if not box.ways.exists() else f"way {box.ways.count() + 1}",
        "rated_impedance_ohm": 8.0,
        "noise_power_w": 400.0,
        "peak_power_w": 1600.0,
        "sensitivity_db": 98.0,
        "low_hz": 60.0,
        "high_hz": 18000.0,
        "coverage_h_deg": 90.0,
        "coverage_v_deg": 60.0,
    }
    return Way.objects.create(loudspeaker=box, **defaults | fields)


def amplifier(
    *,
    ratings: dict[float, float] | None = None,
    minimum_ohm: float | None = 4.0,
    bridged: dict[float, float] | None = None,
    **fields: Any,
) -> Amplifier:
    """A two-channel amplifier, 700 W at 8 ohm and 1200 W at 4 ohm, 32 dB of gain."""
    amp = _item(
        Amplifier,
        {"channels": 2, "gain_db": 32.0, "damping_factor": 400.0, "mains_v": 230.0},
        fields,
    )
    for load, power in (ratings or {8.0: 700.0, 4.0: 1200.0}).items():
        Rating.objects.create(amplifier=amp, mode=Mode.PER_CHANNEL, load_ohm=load, power_w=power)
    AmplifierMode.objects.create(amplifier=amp, mode=Mode.PER_CHANNEL, minimum_load_ohm=minimum_ohm)
    for load, power in (bridged or {}).items():
        Rating.objects.create(amplifier=amp, mode=Mode.BRIDGED, load_ohm=load, power_w=power)
    if bridged:
        AmplifierMode.objects.create(
            amplifier=amp, mode=Mode.BRIDGED, minimum_load_ohm=8.0, extra_gain_db=6.02
        )
    return amp


def cable(**fields: Any) -> Cable:
    """A 10 m loudspeaker cable, 2.5 mm2, class 5."""
    defaults = {
        "use": "loudspeaker",
        "length_m": 10.0,
        "area_mm2": 2.5,
        "conductor_class": "5",
        "pole_pairs": 2,
        "mass_kg": 1.5,
    }
    return _item(Cable, defaults, fields)


def processor(*, dials: dict[str, dict[str, Any]] | None = None, **fields: Any) -> Processor:
    """2 in, 6 out; its limiter goes in steps of 0.5 dB unless `dials` say what can be set."""
    made = _item(Processor, {"inputs": 2, "outputs": 6, "max_output_dbu": 20.0}, fields)
    for quantity, dial in ({"limiter_dbu": {"step": 0.5}} if dials is None else dials).items():
        made.dials.create(quantity=quantity, **dial)
    return made


def revise(of: Event, *outputs: OutputPlan, reason: str = "set up") -> Revision:
    """The next revision of an event."""
    current = current_revision(of)
    seen = current.number if current else 0
    return actions.revise(of, outputs, seen=seen, reason=reason, person=None)


def accessory(**fields: Any) -> Accessory:
    return _item(Accessory, {"mass_kg": 4.0}, fields)


def connector(name: str, *, direct: bool = False) -> Connector:
    return Connector.objects.get_or_create(name=name, defaults={"direct": direct})[0]


def end(item: Item, name: str, side: str, *, count: int = 1, direct: bool = False) -> End:
    return End.objects.create(
        item=item, connector=connector(name, direct=direct), side=side, count=count
    )


def unit(item: Item, serial: str = "", **fields: Any) -> Unit:
    return Unit.objects.create(item=item, serial=serial or f"T-{next(_number):05}", **fields)


def units(item: Item, number: int) -> list[Unit]:
    return [unit(item) for _ in range(number)]


def count(item: Item, owned: int, **fields: Any) -> Count:
    return Count.objects.create(item=item, owned=owned, **fields)


def rack(*inside: Unit, name: str = "") -> Rack:
    case = Rack.objects.create(name=name or f"Rack {next(_number)}")
    for position, piece in enumerate(inside, start=1):
        piece.rack, piece.rack_position = case, position
        piece.save()
    return case


def amplifier_place(of: Event, amp: Amplifier | None = None, **fields: Any) -> AmplifierPlace:
    defaults = {"name": f"Amp {next(_number)}", "rack": "Rack 1"}
    return AmplifierPlace.objects.create(
        event=of, amplifier=amp or amplifier(), **defaults | fields
    )


def processor_place(of: Event, box: Processor | None = None, **fields: Any) -> ProcessorPlace:
    defaults = {"name": f"Processor {next(_number)}"}
    return ProcessorPlace.objects.create(
        event=of, processor=box or processor(), **defaults | fields
    )


def placement(of: Event, box: Loudspeaker | None = None, **fields: Any) -> Placement:
    defaults = {"name": f"Box {next(_number)}", "x_m": 0.0, "y_m": 0.0, "z_m": 2.0}
    return Placement.objects.create(event=of, loudspeaker=box or loudspeaker(), **defaults | fields)


def line(
    of: Event,
    *boxes: Placement,
    amp: AmplifierPlace | None = None,
    run: Cable | None = None,
    **fields: Any,
) -> DriveLine:
    """A drive line through the first way of each box, one cable `run` to the first box,
    the same from box to box."""
    made = DriveLine.objects.create(
        event=of,
        amplifier_place=amp or amplifier_place(of),
        **{"name": f"Line {next(_number)}", "first_channel": 1} | fields,
    )
    run = run or cable()
    for order, box in enumerate(boxes, start=1):
        Link.objects.create(
            line=made,
            order=order,
            placement=box,
            way=box.loudspeaker.ways.first(),
            cable=run,
            from_amplifier=order == 1,
        )
    return made


def plays(driven: DriveLine, **fields: Any) -> DriveLine:
    """The line again, its processor output set so (gain 0 dB unless said) by a new revision.

    A line without an output gets the first one of a new processor.
    """
    if driven.processor_place is None:
        driven.processor_place = processor_place(driven.event)
    driven.output = driven.output or 1
    driven.save()
    set_so = OutputPlan(driven.processor_place.pk, driven.output, **{"gain_db": 0.0} | fields)
    revise(
        driven.event, *(plans_of(current_revision(driven.event)) | {set_so.key: set_so}).values()
    )
    return driven


def spot(of: Event, **fields: Any) -> ListeningSpot:
    return ListeningSpot.objects.create(event=of, **{"name": f"Spot {next(_number)}"} | fields)
