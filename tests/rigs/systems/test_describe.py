"""From rows to what calc is asked: deterministic, complete, unknown stays unknown."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from calc.check import check_lines
from calc.figure import UNKNOWN
from calc.serialise import fingerprint, system_from_plain, to_plain
from rigs.systems.describe import describe, describe_events
from rigs.systems.models import AmplifierPlace
from tests import factories

pytestmark = pytest.mark.django_db


def test_the_rig_comes_out_whole(rig):
    second = factories.placement(
        rig.event, rig.box.loudspeaker, name="Top right", x_m=4, tilt_deg=-5
    )
    line = factories.line(
        rig.event,
        rig.box,
        second,
        amp=rig.amp,
        run=rig.cable,
        name="Tops",
        level_control_db=-3,
        processor_place=rig.processor,
        output=2,
    )
    factories.area(space=rig.event.space, name="Floor")
    rig.event.crest_factor_db, rig.event.temperature_c = 15, 8
    rig.event.save()

    system = describe(rig.event)

    assert (system.event, system.choices.crest_factor_db) == ("Quayside", 15)
    assert system.surroundings.temperature_c == 8
    assert [box.name for box in system.placements] == ["Top left", "Top right"]
    assert system.placements[1].tilt_deg == -5
    assert [sheet.name for sheet in system.loudspeakers] == [str(rig.box.loudspeaker)]
    assert [area.name for area in system.areas] == ["Floor"]
    [drawn] = system.drive_lines
    assert (drawn.name, drawn.processor, drawn.output) == (line.name, "Processor A", 2)
    assert (drawn.amplifier, drawn.level_control_db) == ("Amp A", -3)
    assert [(k.placement, k.from_amplifier) for k in drawn.links] == [
        ("Top left", True),
        ("Top right", False),
    ]
    assert drawn.links[0].cable == str(rig.cable)
    assert system_from_plain(to_plain(system)) == system


def test_the_same_rig_gives_the_same_fingerprint_whatever_the_order_of_typing():
    venue_space = factories.space()
    top, amp, run = factories.loudspeaker(), factories.amplifier(), factories.cable()
    made = []
    for names in (["Top 1", "Top 2"], ["Top 2", "Top 1"]):
        event = factories.event(name="Same", space=venue_space)
        place = factories.amplifier_place(event, amp, name="Amp", rack="R")
        boxes = {name: factories.placement(event, top, name=name) for name in names}
        for name in names:
            channel = int(name[-1])
            factories.line(
                event, boxes[name], amp=place, run=run, name=f"L{channel}", first_channel=channel
            )
        made.append(fingerprint(describe(event)))
    assert made[0] == made[1]


def test_what_does_not_enter_the_sums_changes_nothing(rig):
    rig.line(name="Tops")
    before = fingerprint(describe(rig.event))
    factories.cable()
    factories.loudspeaker()
    rig.event.notes, rig.event.contact = "Bring tape", "Front desk"
    rig.event.save()
    assert fingerprint(describe(rig.event)) == before


def test_a_moved_box_changes_the_fingerprint(rig):
    before = fingerprint(describe(rig.event))
    rig.box.x_m = 7
    rig.box.save()
    assert fingerprint(describe(rig.event)) != before


def test_an_unknown_impedance_stays_unknown_and_cannot_be_checked(rig):
    way = rig.box.loudspeaker.ways.get()
    way.rated_impedance_ohm = None
    way.save()
    rig.line(name="Tops")
    system = describe(rig.event)
    assert system.loudspeakers[0].ways[0].rated_impedance_ohm == UNKNOWN
    [result] = check_lines(system)
    assert result.state == "cannot check"
    load = next(finding for finding in result.findings if finding.check == "load")
    assert (load.state, load.value) == ("cannot check", None)


def test_a_cable_nobody_stated_cannot_be_checked(rig):
    rig.line(name="Tops").links.update(cable=None)
    [result] = check_lines(describe(rig.event))
    loss = next(finding for finding in result.findings if finding.check == "cable_loss")
    assert loss.state == "cannot check"


def test_figures_keep_what_they_stand_on(rig):
    way = rig.box.loudspeaker.ways.get()
    way.basis = {"noise_power_w": "measured"}
    way.save()
    described = describe(rig.event).loudspeakers[0].ways[0]
    assert described.noise_power_w.basis == "measured"
    assert described.sensitivity_db.basis == "data sheet"
    assert described.minimum_impedance_ohm.basis == "unknown"


def fill(event, lines):
    """A rig with many lines, each with its own box, amplifier, cable and types."""
    for number in range(lines):
        box = factories.placement(event, name=f"Box {number}")
        factories.line(event, box, name=f"Line {number}")


def queries_of(call):
    with CaptureQueriesContext(connection) as seen:
        call()
    return len(seen)


def test_queries_do_not_grow_with_the_rig():
    small, large = factories.event(), factories.event()
    fill(small, 1)
    fill(large, 50)
    assert queries_of(lambda: describe(small)) == queries_of(lambda: describe(large))
    assert len(describe(large).drive_lines) == 50


def test_queries_do_not_grow_with_the_events():
    events = [factories.event() for _ in range(6)]
    for event in events:
        fill(event, 2)
    one = queries_of(lambda: describe_events(events[:1]))
    assert queries_of(lambda: describe_events(events)) == one
    assert [event for event, _ in describe_events(events[::-1])] == events[::-1]


def test_everything_electrical_comes_out(rig):
    """Gain setting, linked inputs, series, limiter, mixer, mains, supports, choices."""
    space = rig.event.space
    supply = space.supplies.create(name="Wall", phases=3, amps_per_phase=32, voltage_v=230)
    circuit = space.circuits.create(supply=supply, name="Socket 2", phase=2, breaker_a=16)
    AmplifierPlace.objects.update(gain_db=26, linked_inputs=True)
    stand = rig.event.supports.create(name="Stand 1", kind="stand", limit_kg=60)
    rig.event.extraloads.create(support=stand, name="Sandbag", mass_kg=15)
    rig.event.mixerplaces.create(name="Front of house", max_output_dbu=24, output_noise_dbu=-84)
    rig.event.rigchoices.create(
        conductor_resistance="nominal", cable_temperature_c=25, limiter_basis="programme",
        limiter_basis_by=rig.tech, limiter_basis_reason="Maker's advice",
    )  # fmt: skip
    rig.event.rackfeeds.create(
        rack="Rack 1", supply=supply, circuit=circuit, phase=2, length_m=20, area_mm2=2.5
    )
    rig.box.support = stand
    rig.box.save()
    way = rig.box.loudspeaker.ways.get()
    way.programme_power_w = 800
    way.impedance_curve = {"frequency_hz": [50, 500], "magnitude_ohm": [7, 9], "phase_deg": []}
    way.save()
    second = factories.placement(rig.event, rig.box.loudspeaker, name="Top right")
    line = factories.line(
        rig.event, rig.box, second, amp=rig.amp, name="Tops",
        attack_ms=10, release_ms=160, nearest_listener_m=2.5, limiter_basis="programme",
        limiter_basis_by=rig.tech, limiter_basis_reason="Maker's advice",
    )  # fmt: skip
    line.links.filter(order=2).update(series_with_previous=True)
    factories.plays(line, gain_db=-3, inputs=(1,), delay_ms=12.5, inverted=True)

    system = describe(rig.event)

    [place] = system.amplifier_places
    assert (place.gain_db, place.linked_inputs) == (26, True)
    [drawn] = system.drive_lines
    assert (drawn.attack_ms, drawn.release_ms) == (10, 160)
    [output] = system.outputs
    assert (output.gain_db, output.inputs) == (-3, (1,))
    assert (output.delay_ms, output.inverted) == (12.5, True)
    assert (drawn.limiter_basis, drawn.limiter_basis_by) == ("programme", str(rig.tech))
    assert drawn.nearest_listener_m == 2.5
    assert [link.series_with_previous for link in drawn.links] == [False, True]
    described = system.loudspeakers[0].ways[0]
    assert described.programme_power_w.value == 800
    assert described.impedance_curve.magnitude_ohm == (7, 9)
    assert (system.mixer.name, system.mixer.max_output_dbu.value) == ("Front of house", 24)
    assert (system.choices.conductor_resistance, system.choices.cable_temperature_c) == (
        "nominal",
        25,
    )
    assert (system.choices.limiter_basis, system.choices.limiter_basis_by) == (
        "programme",
        str(rig.tech),
    )
    [feed] = system.rack_feeds
    assert (feed.rack, feed.supply, feed.circuit, feed.phase) == ("Rack 1", "Wall", "Socket 2", 2)
    assert (feed.length_m.value, feed.area_mm2.value) == (20, 2.5)
    assert [(c.name, c.phase, c.breaker_a.value) for c in system.circuits] == [("Socket 2", 2, 16)]
    assert [(s.name, s.limit_kg.value) for s in system.supports] == [("Stand 1", 60)]
    assert [load.mass_kg.value for load in system.extra_loads] == [15]
    assert system.placements[0].support == "Stand 1"
    assert system_from_plain(to_plain(system)) == system
    [result] = check_lines(system)
    assert result.rated_load_ohm == 16 and result.limiter_basis == "programme"


def test_queries_do_not_grow_with_mains_and_supports(rig):
    def grow(start, count):
        supply = rig.event.space.supplies.create(name=f"Wall {start}", phases=3)
        for number in range(start, start + count):
            place = factories.amplifier_place(rig.event, name=f"A{number}", rack=f"R{number}")
            rig.event.rackfeeds.create(
                rack=place.rack, supply=supply, cable=factories.cable(use="mains")
            )
            support = rig.event.supports.create(
                name=f"S{number}", kind="stand", accessory=factories.accessory(carries_kg=50.0)
            )
            rig.event.extraloads.create(support=support, name="Sandbag")

    grow(0, 1)
    rig.event.supports.create(name="Truck", kind="truck", carries_kit=True)
    few = queries_of(lambda: describe(rig.event))
    grow(10, 12)
    rig.event.kit.create(item=factories.accessory(), quantity=2)
    factories.rack(factories.unit(factories.amplifier()))
    assert queries_of(lambda: describe(rig.event)) <= few + 1
