"""What stands in a packet, and that the worst finding decides."""

import pytest

from rigs.events.actions import put_on_kit
from rigs.packets.compute import Finding, check
from rigs.packets.freeze import freeze_kit
from rigs.packets.sections import blocks
from rigs.packets.sections.kit import kit_blocks
from rigs.stock.models import Unit
from rigs.systems.describe import describe
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet
from venues.models import Supply


def finding(**fields) -> Finding:
    usual = {
        "subject": "Sub left",
        "check": "load",
        "title": "Load on the amplifier",
        "state": "holds",
        "value": 4.0,
        "limit": 4.0,
        "unit": "ohm",
        "limit_source": "data sheet",
        "sentence": "Line Sub left: 4 ohm.",
    }
    return Finding(**usual | fields)


def section(packet, key: str) -> dict:
    return next(s for s in packet.sections if s["key"] == key)


def cards(packet, key: str) -> dict[str, dict]:
    return {b["name"]: b for b in section(packet, key)["blocks"] if b["kind"] == "card"}


@pytest.mark.parametrize(
    ("states", "decides"),
    [
        (["holds", "fails", "tight"], "fails"),
        (["holds", "tight", "cannot check"], "cannot check"),
        (["holds", "tight"], "tight"),
        (["holds"], "holds"),
    ],
)
def test_the_worst_finding_decides(states, decides):
    found = [finding(state=state, title=state, value=n + 1.0) for n, state in enumerate(states)]
    card = blocks.card("line:Sub left", "Sub left", "", found)
    assert card["state"] == card["decides"] == decides
    assert card["figure"] == f"{states.index(decides) + 1} ohm"
    assert card["findings"][0]["state"] == decides


def test_where_all_hold_the_nearest_to_its_limit_decides():
    """8 ohm on 4: as much again; 35 on 20: 75 %; 0.45 of 0.5 dB: 10 %; 99 of 100 dB(A): 12 %."""
    found = [
        finding(title="load", value=8.0),
        finding(title="damping", value=35.0, limit=20.0, unit=""),
        finding(title="exposure", value=99.0, limit=100.0, unit="dB(A)"),
        finding(title="cable_loss", value=0.45, limit=0.5, unit="dB"),
        finding(title="pole_pair", value=None, limit=None),
    ]
    card = blocks.card("line:Sub left", "Sub left", "", found)
    assert (card["state"], card["decides"]) == ("holds", "cable_loss")
    # The table of findings keeps its order, so that cards read alike.
    assert [each["title"] for each in card["findings"]] == [each.title for each in found]


def test_unknown_is_said_and_never_a_number():
    card = blocks.card("k", "Sub left", "", [finding(state="cannot check", value=None)])
    assert card["figure"] == "unknown" and card["state"] == "cannot check"


def test_the_name_on_the_card_is_not_said_twice():
    card = blocks.card("k", "Sub left", "", [finding()])
    assert card["sentence"] == "4 ohm."


def test_a_figure_just_beyond_its_limit_does_not_look_as_if_it_met_it():
    just = finding(check="cable_loss", state="tight", value=0.5473, limit=0.5, unit="dB")
    assert blocks.deciding_figure(just) == "0.547 dB"


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (None, "ohm", "unknown"),
        (2.6667, "ohm", "2.67 ohm"),
        (1400.0, "W", "1400 W"),
        (105.83, "V", "106 V"),
        (5.3, "dBu", "+5.3 dBu"),
        (-6.5, "dBu", "-6.5 dBu"),
        (-0.04, "dBu", "0.0 dBu"),
        (-0.7, "dB", "-0.7 dB"),
        (0.0, "A", "0 A"),
        (16.17, "1", "16.2"),
        (1.0, "pole pairs", "1 pole pair"),
        (2.0, "pole pairs", "2 pole pairs"),
    ],
)
def test_quantities(value, unit, words):
    assert blocks.quantity(value, unit) == words


@pytest.mark.django_db
class TestWholePackets:
    def test_every_line_has_a_card_with_its_own_findings(self):
        packet = made_packet(event_with_rig(3))
        found = cards(packet, "lines")
        assert {"Line 1", "Line 2", "Line 3"} <= set(found)
        checks = {one["check"] for one in found["Line 1"]["findings"]}
        predicted = packet.run.prediction["lines"][0]["findings"]
        assert checks == {one["check"] for one in predicted}
        assert {"load", "power", "peak", "cable_loss", "damping", "headroom", "limiter"} <= checks

    def test_lines_stand_worst_first(self):
        event = event_with_rig(3)
        thin = factories.cable(area_mm2=1.5, length_m=100.0)
        event.drivelines.get(name="Line 3").links.update(cable=thin)
        found = cards(made_packet(event), "lines")
        assert next(iter(found)) == "Line 3" and found["Line 3"]["state"] == "fails"
        assert section(made_packet(event), "lines")["tally"]["fails"] == 1

    def test_an_amplifier_card_says_how_it_is_set(self):
        event = event_with_rig(1)
        place = event.amplifierplaces.get()
        place.unit = Unit.objects.create(item=place.amplifier, serial="SN-77")
        place.save()
        event.drivelines.update(level_control_db=-6.0)
        card = cards(made_packet(event), "racks")["Amp 1"]
        assert card["place"] == "Rack 1"
        assert {"name": "Unit", "value": "SN-77"} in card["facts"]
        channel, mode, level, drives, load = card["table"]["rows"][0]
        assert (channel, mode, level, load) == ("1", "per channel", "-6 dB", "8 ohm")
        assert drives == "Line 1: Top 1"

    @pytest.mark.usefixtures("no_sheets")
    def test_limiter_thresholds_are_the_predictions(self):
        packet = made_packet(event_with_rig(1))
        line = packet.run.prediction["lines"][0]
        card = cards(packet, "processing")["Line 1"]
        assert card["figure"] == f"{line['limiter_rms_dbu']:+.1f} dBu rms"
        assert card["against"] == f"{line['limiter_peak_dbu']:+.1f} dBu peak"
        assert card["place"] == "Processor, output 1"

    @pytest.mark.usefixtures("no_sheets")
    def test_an_unknown_gain_leaves_no_threshold_to_enter(self):
        event = event_with_rig(1)
        amplifier = event.amplifierplaces.get().amplifier
        amplifier.gain_db = None
        amplifier.save()
        card = cards(made_packet(event), "processing")["Line 1"]
        assert card["figure"] == "unknown" and card["state"] == "cannot check"
        assert not card["tickable"]

    def test_cautions_stand_before_what_they_warn_of(self):
        event = event_with_rig(1)
        Supply.objects.create(space=event.space, name="Wall", phases=1, amps_per_phase=16)
        packet = made_packet(event)
        for key in ("power", "processing", "coverage", "load-out"):
            kinds = [block["kind"] for block in section(packet, key)["blocks"]]
            assert kinds[0] == "caution"
        assert "kill" in section(packet, "power")["blocks"][0]["text"]

    def test_the_kit_adds_up(self):
        packet = made_packet(event_with_rig(2))
        figures = section(packet, "kit")["blocks"][0]["figures"]
        # Two boxes of 31 kg and two cables of 1.5 kg and 10 m: see the rig of the tests.
        assert figures[:3] == [
            {"name": "Pieces", "value": "4"},
            {"name": "Weight", "value": "65 kg"},
            {"name": "Loudspeaker cable", "value": "20 m"},
        ]

    def test_unknown_weight_is_counted_and_not_taken_as_zero(self):
        event = event_with_rig(2)
        item = event.kit.get(item__kind="cable").item
        item.mass_kg = None
        item.save()
        weight = section(made_packet(event), "kit")["blocks"][0]["figures"][1]["value"]
        assert weight == "62 kg + 2 pieces of unknown weight"

    def test_load_out_puts_back_what_this_show_has_set(self):
        event = event_with_rig(1)
        event.drivelines.update(level_control_db=-3.0)
        steps = section(made_packet(event), "load-out")["blocks"][1]["items"]
        assert "amplifiers" in steps[0]
        assert any("Amp 1, channel 1" in step and "-3 dB" in step for step in steps)

    def test_an_undriven_box_is_a_fault_of_its_own(self):
        event = event_with_rig(1)
        factories.placement(event, name="Forgotten")
        card = cards(made_packet(event), "lines")["Forgotten"]
        assert card["state"] == "fails" and "nobody" in card["sentence"]

    def test_what_could_not_be_checked_is_listed(self):
        event = event_with_rig(1)
        way = event.placements.get().loudspeaker.ways.get()
        way.sensitivity_db = None
        way.save()
        packet = made_packet(event)
        listed = section(packet, "unchecked")["blocks"][1]["items"]
        assert any("Top 1" in sentence for sentence in listed)
        assert cards(packet, "coverage")["Floor"]["state"] == "cannot check"

    def test_an_event_without_a_rig_gives_a_packet_that_promises_nothing(self):
        packet = made_packet(factories.event())
        assert packet.made
        assert [s["key"] for s in packet.sections] == ["kit"]
        assert not cards(packet, "kit")


@pytest.mark.django_db
def test_a_loaded_rack_is_lifted_as_one_and_what_has_no_weight_is_named():
    amplifier = factories.amplifier(mass_kg=30.0)
    case = factories.rack(*factories.units(amplifier, 2), name="Rack 1")
    case.mass_empty_kg = 24.0
    case.save()
    event = factories.event()
    put_on_kit(event, amplifier, 2, place="rack", serials=[u.serial for u in case.units.all()])
    cover = factories.accessory(model="Cover", mass_kg=None)
    factories.count(cover, 4)
    put_on_kit(event, cover, 4)
    kit = freeze_kit(event)
    assert [(lift["name"], lift["mass_kg"]) for lift in kit["heavy"]] == [("Rack 1, loaded", 84.0)]
    words = str(kit_blocks(kit, check(describe(event))))
    assert "Rack 1, loaded: 84 kg" in words
    assert "4 x Testmade Cover" in words
