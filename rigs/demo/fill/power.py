"""What feeds the rig of one event, and what bears it."""

from rigs.catalogue.models import Accessory, Cable, Item, Mixer
from rigs.demo.fill.catalogue import create_all
from rigs.demo.shapes import Bearer, Feed, RigPlan
from rigs.events.models import Event
from rigs.systems.models import AmplifierPlace, ExtraLoad, MixerPlace, RackFeed, Support


def fill_mixer(event: Event, plan: RigPlan, items: dict[str, Item]) -> None:
    """The mixer that feeds the processors, where the plan has one."""
    if plan.mixer:
        mixer = items[plan.mixer]
        assert isinstance(mixer, Mixer)
        create_all(MixerPlace, [MixerPlace(event=event, name="Desk", mixer=mixer)])


def fill_feeds(
    event: Event, plan: RigPlan, amplifiers: dict[str, AmplifierPlace], items: dict[str, Item]
) -> None:
    """The mains cable of each rack, and of amplifiers by themselves."""
    supplies = {supply.name: supply for supply in event.space.supplies.all()}
    circuits = {circuit.name: circuit for circuit in event.space.circuits.select_related("supply")}

    def row(feed: Feed) -> RackFeed:
        alone = amplifiers.get(feed.load)
        cable = items[feed.cable] if feed.cable else None
        assert cable is None or isinstance(cable, Cable)
        return RackFeed(
            event=event, rack="" if alone else feed.load, amplifier_place=alone,
            supply=supplies[feed.supply], circuit=circuits[feed.circuit] if feed.circuit else None,
            phase=feed.phase, cable=cable,
        )  # fmt: skip

    create_all(RackFeed, map(row, plan.feeds))


def fill_supports(event: Event, plan: RigPlan, items: dict[str, Item]) -> dict[str, Support]:
    """Hang points, stands and trucks with their other loads; returns the support of each box."""
    points = {point.name: point for point in event.space.hang_points.all()}

    def row(bearer: Bearer) -> Support:
        stand = items[bearer.stand] if bearer.stand else None
        assert stand is None or isinstance(stand, Accessory)
        return Support(
            event=event, name=bearer.name, kind=bearer.kind, accessory=stand,
            hang_point=points[bearer.point] if bearer.point else None,
            limit_kg=bearer.limit_kg, carries_kit=bearer.carries_kit,
        )  # fmt: skip

    rows = [row(bearer) for bearer in plan.bearers]
    create_all(Support, rows)
    pairs = list(zip(rows, plan.bearers, strict=True))
    create_all(
        ExtraLoad,
        (
            ExtraLoad(event=event, support=support, name=name, mass_kg=mass)
            for support, bearer in pairs
            for name, mass in bearer.loads
        ),
    )
    return {box: support for support, bearer in pairs for box in bearer.boxes}
