"""What is missing to connect what was picked."""

import pytest

from rigs.catalogue.models import Item
from rigs.events import actions, completion
from rigs.events.models import Event, KitRow
from rigs.events.queries import kit_rows, uses_of_connectors
from tests import factories as make

pytestmark = pytest.mark.django_db
LOCK, MULTI, INLET, C32, POLE, XLR = (
    "twist-lock 4-pole",
    "twist-lock 8-pole",
    "locking mains inlet",
    "IEC 60309 32 A",
    "35 mm pole",
    "XLR 3-pole",
)


def box() -> Item:
    """A loudspeaker with an input, a link and a socket for a pole."""
    item = make.loudspeaker(mass_kg=20)
    make.end(item, LOCK, "takes")
    make.end(item, LOCK, "feeds")
    make.end(item, POLE, "takes", direct=True)
    return item


def amplifier() -> Item:
    item = make.amplifier(mass_kg=12)
    make.end(item, LOCK, "feeds", count=2)
    make.end(item, INLET, "takes")
    make.end(item, XLR, "takes", count=2)
    return item


def cable(takes: str, feeds: str, **fields) -> Item:
    item = make.cable(**fields)
    make.end(item, takes, "takes")
    make.end(item, feeds, "feeds")
    return item


def kit(*lines: tuple, place: str = "line", event: Event | None = None) -> Event:
    event = event or make.event()
    for item, quantity in lines:
        KitRow.objects.create(event=event, item=item, quantity=quantity, place=place)
    return event


def told(event: Event, state: str = completion.MISSING) -> list[str]:
    picked = completion.picked_from(kit_rows(event))
    uses = uses_of_connectors(c for each in picked for c, _ in each.ends)
    found = completion.gaps(picked, uses)
    return [gap.sentence for gap in found if gap.state == state]


def test_inputs_without_a_cable() -> None:
    event = kit((box(), 5), (amplifier(), 2), (cable(LOCK, LOCK), 2))
    assert set(told(event)) == {
        "2 amplifier inputs (locking mains inlet) have no cable: add 2.",
        "3 loudspeaker inputs (twist-lock 4-pole) have no cable: add 3.",
        "4 amplifier inputs (XLR 3-pole) have no cable: add 4.",
    }


def test_links_of_boxes_feed_cables_too() -> None:
    """Four boxes on two outputs: the other two cables start at links."""
    amp = make.amplifier()
    make.end(amp, LOCK, "feeds", count=2)
    assert told(kit((box(), 4), (amp, 1), (cable(LOCK, LOCK), 4))) == []


def test_cables_with_nothing_to_start_from() -> None:
    top = make.loudspeaker()
    make.end(top, LOCK, "takes")
    amp = make.amplifier()
    make.end(amp, LOCK, "feeds")
    assert told(kit((top, 3), (amp, 1), (cable(LOCK, LOCK), 3))) == [
        "2 cables (twist-lock 4-pole) have no output to start from: the outputs and links on "
        "this list are all used. Add what feeds them."
    ]


def test_more_cables_than_needed_are_no_fault() -> None:
    amp = amplifier()
    mains = cable(C32, INLET, use="mains")
    supply = make.accessory()
    make.end(supply, C32, "feeds", count=2)
    signal = cable(XLR, XLR, use="signal")
    event = kit((amp, 2), (mains, 5), (supply, 1), (signal, 4))
    assert told(event) == []


def test_spares_are_not_connected() -> None:
    event = kit((box(), 2), place="spare")
    assert told(event) == []


def test_an_adaptor_bridges_two_connectors() -> None:
    amp = make.amplifier()
    make.end(amp, MULTI, "feeds")
    top = make.loudspeaker()
    make.end(top, LOCK, "takes")
    run = cable(MULTI, MULTI)
    adaptor = make.accessory()
    make.end(adaptor, MULTI, "takes")
    make.end(adaptor, LOCK, "feeds")
    event = kit((amp, 1), (top, 1), (run, 1))
    assert told(event) == ["1 loudspeaker input (twist-lock 4-pole) has no cable: add 1."]
    assert told(kit((adaptor, 1), event=event)) == []


def test_mains_and_signal_may_start_outside_the_list() -> None:
    event = kit(
        (amplifier(), 1), (cable(C32, INLET, use="mains"), 1), (cable(XLR, XLR, use="signal"), 2)
    )
    assert told(event) == []
    assert told(event, completion.ELSEWHERE) == [
        "1 cable (IEC 60309 32 A) starts outside this list: make sure the venue's supply has it.",
        "2 cables (XLR 3-pole) start outside this list: make sure a desk or box not on this "
        "list has it.",
    ]


def test_a_pole_mates_without_a_cable() -> None:
    top, stand = box(), make.accessory()
    make.end(stand, POLE, "feeds", direct=True)
    event = kit((top, 2), (stand, 1))
    assert told(event, completion.ASK) == [
        "1 socket (35 mm pole) has nothing to sit on: add 1, unless they stand or hang otherwise."
    ]


def test_weight_says_what_it_does_not_know() -> None:
    reel = make.cable(length_m=20.0, mass_kg=3.0)
    short = make.cable(length_m=5.0, mass_kg=1.0)
    odd = make.cable(length_m=None, mass_kg=None, use="signal")
    heavy = make.loudspeaker(mass_kg=40.0)
    event = kit((reel, 4), (short, 2), (odd, 3), (heavy, 2))
    load = completion.truck_load(kit_rows(event))
    assert (load.pieces, load.known_kg, load.unknown_mass) == (11, 94.0, 3)
    assert load.cable_lines == [("loudspeaker", 90.0, [(5.0, 2), (20.0, 4)])]
    assert load.unknown_length == 3
    assert load.unknown_words == f"3 x {odd}"
    assert (load.heaviest_kg, load.above_one_person) == (40.0, 2)


def test_a_rack_weighs_what_its_case_weighs_too() -> None:
    amp = make.amplifier(mass_kg=10.0)
    rack = make.rack(make.unit(amp), make.unit(amp))
    rack.mass_empty_kg = 15.0
    rack.save()
    event = make.event()
    actions.put_rack_on_kit(event, rack)
    load = completion.truck_load(kit_rows(event))
    assert load.known_kg == 35.0
    assert load.lifts == [completion.Lift(f"{rack}, loaded", 35.0)], "and is lifted as one"
    assert (load.heaviest_kg, load.above_one_person) == (35.0, 1)


def test_units_outside_of_a_rack_are_lifted_singly() -> None:
    amp = make.amplifier(mass_kg=30.0)
    rack = make.rack(make.unit(amp, "A"))
    make.units(amp, 2)
    event = make.event()
    actions.put_rack_on_kit(event, rack)
    actions.put_on_kit(event, amp, 1, place="rack")
    actions.put_on_kit(event, amp, 1, place="spare")
    load = completion.truck_load(kit_rows(event))
    assert load.unknown == {f"case of {rack}": 1}
    assert [(lift.name, lift.pieces, lift.at_least) for lift in load.heavy] == [
        (f"{rack}, loaded", 1, True),
        (str(amp), 1, False),
        (str(amp), 1, False),
    ]
