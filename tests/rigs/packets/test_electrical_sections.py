"""What a packet says of cables, gains, mains and weights: the prediction's figures, in words."""

import pytest

from rigs.packets.compute import GainLadder
from rigs.packets.models import Packet
from rigs.packets.sections import gains
from rigs.systems.models import ExtraLoad, MixerPlace, RackFeed, Support
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet
from venues.models import Supply

pytestmark = pytest.mark.django_db


def blocks(packet: Packet, key: str) -> list[dict]:
    return next((s["blocks"] for s in packet.sections if s["key"] == key), [])


def cards(packet: Packet, key: str) -> dict[str, dict]:
    return {block["name"]: block for block in blocks(packet, key) if block["kind"] == "card"}


def tables(card: dict) -> dict[str, list[list[str]]]:
    inside = [block for fold in card["more"] for block in fold["blocks"]]
    return {block["title"]: block["rows"] for block in inside if block["kind"] == "table"}


def facts(card: dict) -> dict[str, str]:
    return {one["name"]: one["value"] for one in card["facts"]}


class TestNetwork:
    def test_each_box_and_each_cable_has_its_row(self):
        event = event_with_rig(1)
        second = factories.placement(event, event.placements.get().loudspeaker, name="Top 9")
        line = event.drivelines.get()
        link = line.links.get()
        line.links.create(
            order=2, placement=second, way=link.way, cable=link.cable, from_amplifier=False
        )
        packet = made_packet(event)
        result = packet.run.prediction["lines"][0]
        found = tables(cards(packet, "lines")["Line 1"])
        at_boxes, in_cables = found["At each box"], found["In each cable"]
        assert [row[0] for row in at_boxes] == ["Top 1, full range", "Top 9, full range"]
        assert [row[4] for row in at_boxes] == [
            f"{box['cable_loss_db']:.1f} dB" for box in result["boxes"]
        ]
        assert [row[:2] for row in in_cables] == [["Amp 1", "Top 1"], ["Top 1", "Top 9"]]
        heat = [float(row[5].removesuffix(" W")) for row in in_cables]
        assert heat == pytest.approx([run["loss_w"] for run in result["runs"]], rel=0.01)
        assert heat[0] > heat[1]  # both boxes' current flows through the first cable

    def test_what_nobody_knows_is_unknown_and_no_number(self):
        event = event_with_rig(1)
        cable = event.drivelines.get().links.get().cable
        cable.area_mm2 = None
        cable.save()
        found = tables(cards(made_packet(event), "lines")["Line 1"])
        assert found["At each box"][0][4] == "unknown"
        assert found["In each cable"][0][3:] == ["unknown"] * 4

    def test_a_warm_cable_is_a_caution_on_its_card(self):
        event = event_with_rig(1)
        thin = factories.cable(area_mm2=0.5, length_m=10.0)
        event.drivelines.get().links.update(cable=thin)
        (caution,) = cards(made_packet(event), "lines")["Line 1"]["cautions"]
        assert "coiled" in caution

    def test_what_would_change_it_stands_only_where_something_must(self):
        event = event_with_rig(1)
        event.drivelines.get().links.update(cable=factories.cable(area_mm2=0.5, length_m=60.0))
        found = cards(made_packet(event), "lines")["Line 1"]["findings"]
        remedies = {one["check"]: (one["state"], one["remedy"]) for one in found}
        assert remedies["cable_loss"][0] == "fails" and remedies["cable_loss"][1]
        assert all(not remedy for state, remedy in remedies.values() if state == "holds")


@pytest.mark.usefixtures("no_sheets")
class TestGains:
    def packet(self, **processor) -> Packet:
        event = event_with_rig(1)
        MixerPlace.objects.create(
            event=event, name="Desk", max_output_dbu=22.0, output_noise_dbu=-85.0
        )
        for line in event.drivelines.all():
            factories.plays(line)
        sheet = event.processorplaces.get().processor
        for field, value in (
            {"max_input_dbu": 20.0, "output_noise_dbu": -88.0} | processor
        ).items():
            setattr(sheet, field, value)
        sheet.save()
        amplifier = event.amplifierplaces.get().amplifier
        amplifier.input_clip_dbu, amplifier.output_noise_dbu = 21.0, -68.0
        amplifier.save()
        return made_packet(event)

    def test_the_ladder_is_the_predictions(self):
        packet = self.packet()
        ladder = packet.run.prediction["lines"][0]["ladder"]
        card = cards(packet, "processing")["Line 1"]
        assert facts(card)["Clips first"] == ladder["first_to_clip"] != ""
        rows = tables(card)["Stage by stage"]
        assert [row[0].lower() for row in rows] == [stage["name"] for stage in ladder["stages"]]
        assert [row[2] for row in rows] == [f"{s['clip_dbu']:+.1f} dBu" for s in ladder["stages"]]
        assert f"{ladder['hiss_db']:.1f} dB" in facts(card)["Hiss at the nearest listener"]

    def test_a_missing_figure_is_named_and_nothing_is_said_to_clip_first(self):
        packet = self.packet(max_output_dbu=None)
        card = cards(packet, "processing")["Line 1"]
        assert facts(card)["Clips first"].endswith(", of what is known")
        (listed,) = [
            block["items"] for block in card["more"][0]["blocks"] if block["kind"] == "checklist"
        ]
        assert any("highest output level" in item for item in listed)

    def test_equal_ladders_share_one_drawing(self):
        packet = made_packet(event_with_rig(3))
        drawn = {
            block["key"]
            for card in cards(packet, "processing").values()
            for block in card["more"][0]["blocks"]
            if block["kind"] == "picture"
        }
        assert len(drawn) == 1 and drawn < set(packet.pictures)

    def test_the_drawing_is_sent_apart_from_the_page(self, client):
        packet = made_packet(event_with_rig(1))
        client.force_login(factories.person("crew"))
        page = client.get(f"/events/{packet.event_id}/").content.decode()
        address = f"/packets/{packet.pk}/pictures/ladder-1.svg"
        assert f'src="{address}" loading="lazy"' in page and "<svg" not in page
        assert b"<svg" in client.get(address).content

    def test_the_times_and_the_basis_stand_on_the_card(self):
        event = event_with_rig(1)
        event.placements.get().loudspeaker.ways.update(programme_power_w=800.0)
        tech = factories.person("system tech")
        event.drivelines.update(
            limiter_basis="programme",
            limiter_basis_by=tech,
            limiter_basis_reason="Loud for a minute",
            attack_ms=7.0,
        )
        packet = made_packet(event)
        said = facts(cards(packet, "processing")["Line 1"])
        assert said["Attack"] == "7 ms" and said["Release"].endswith(" ms")
        assert said["Stands on"] == f"programme rating, decided by {tech}"

    @pytest.mark.parametrize(
        ("aligned", "words"),
        [(-6.0, "-6.0 dB"), (3.5, "out of reach: 3.5 dB above fully up"), (None, "unknown")],
    )
    def test_a_level_control_beyond_its_end_is_out_of_reach(self, aligned, words):
        ladder = GainLadder((), "", "", aligned, None, None, None)
        figures = gains.ladder_fold("ladder-1", ladder)[0]["blocks"][0]["figures"]
        assert figures[0]["value"] == words


class TestMains:
    def event(self, **supply):
        """Three racks of one amplifier each, 5 A at 1/8 power, on a board of 3 x 16 A."""
        event = event_with_rig(3)
        for n, place in enumerate(event.amplifierplaces.order_by("name"), start=1):
            place.rack = f"Rack {n}"
            place.save()
        amplifier = event.amplifierplaces.first().amplifier
        amplifier.idle_w, amplifier.eighth_power_w, amplifier.third_power_w = 115.0, 1150.0, 2300.0
        amplifier.power_factor, amplifier.inrush_a = 1.0, 20.0
        amplifier.save()
        fields = {"name": "Board", "phases": 3, "amps_per_phase": 16, "voltage_v": 230} | supply
        board = Supply.objects.create(space=event.space, **fields)
        for n in (1, 2, 3):
            RackFeed.objects.create(
                event=event, rack=f"Rack {n}", supply=board, phase=1, length_m=20, area_mm2=2.5
            )
        return event

    def test_the_phase_table_says_who_hangs_where_and_how_much(self):
        """1150 W / 230 V = 5 A each, three on L1: 15 A of 16 A, 94 %."""
        card = cards(made_packet(self.event()), "power")["Board"]
        first, second, _ = card["table"]["rows"]
        assert first == [
            "L1", "Rack 1, Rack 2, Rack 3", "1.5 A", "15 A", "30 A", "16 A", "94 %"
        ]  # fmt: skip
        assert second == ["L2", "nothing", "0 A", "0 A", "0 A", "16 A", "0 %"]

    def test_the_better_plugging_is_said(self):
        said = facts(cards(made_packet(self.event()), "power")["Board"])
        assert "5 A on the fullest phase" in said["Best plugging"]
        assert said["Neutral, at most"] == "15 A"

    def test_racks_that_nobody_plugged_are_only_planned(self):
        event = self.event()
        event.rackfeeds.update(phase=None)
        card = cards(made_packet(event), "power")["Board"]
        assert all(row[1].endswith(" (planned)") for row in card["table"]["rows"])

    def test_an_unknown_current_is_no_zero(self):
        event = self.event()
        amplifier = event.amplifierplaces.first().amplifier
        amplifier.eighth_power_w = None
        amplifier.save()
        card = cards(made_packet(event), "power")["Board"]
        assert card["state"] == "cannot check"
        assert card["table"]["rows"][0][3] == card["table"]["rows"][0][6] == "unknown"

    def test_a_rack_with_a_long_thin_cable_has_a_card_and_others_only_a_row(self):
        event = self.event()
        event.rackfeeds.filter(rack="Rack 2").update(length_m=200, area_mm2=1.5)
        packet = made_packet(event)
        found = cards(packet, "power")
        assert found["Rack 2"]["state"] == "fails" and "Rack 1" not in found
        table = next(b for b in blocks(packet, "power") if b.get("title", "").startswith("Mains c"))
        assert [row[0] for row in table["rows"]] == ["Rack 1", "Rack 2", "Rack 3"]
        assert all(row[4].endswith(" %") for row in table["rows"])

    def test_switching_on_has_pauses_and_the_step_its_cautions(self):
        packet = made_packet(self.event())
        found = blocks(packet, "power")
        (order,) = [block for block in found if block["kind"] == "checklist"]
        assert order["ordered"] and sum("wait" in item for item in order["items"]) == 3
        first = found[0]["text"]
        assert "competent electrician" in first and "never lift an earth" in first


class TestWeights:
    def event(self, limit_kg: float | None):
        event = event_with_rig(2)
        stand = Support.objects.create(event=event, name="Tripod", kind="stand", limit_kg=limit_kg)
        event.placements.update(support=stand)
        return event

    @pytest.mark.parametrize(
        ("limit_kg", "state"), [(80.0, "holds"), (60.0, "fails"), (None, "cannot check")]
    )
    def test_two_boxes_of_31_kg_against_the_marked_limit(self, limit_kg, state):
        card = cards(made_packet(self.event(limit_kg)), "weights")["Tripod"]
        assert (card["figure"], card["state"]) == ("62 kg", state)
        assert card["against"] == (f"marked for {limit_kg:.0f} kg" if limit_kg else "")
        assert "approves no rigging" in card["sentence"]
        assert facts(card)["Bears"] == "Top 1, Top 2"

    def test_an_unknown_weight_is_counted_and_named(self):
        event = self.event(80.0)
        stand = event.supports.get()
        ExtraLoad.objects.create(event=event, support=stand, name="Bracket", mass_kg=None)
        card = cards(made_packet(event), "weights")["Tripod"]
        assert card["state"] == "cannot check"
        assert facts(card)["Known so far"] == "62 kg"
        assert "Bracket" in facts(card)["Of unknown weight"]

    def test_no_weight_can_be_ticked_and_the_caution_comes_first(self):
        packet = made_packet(self.event(80.0))
        found = blocks(packet, "weights")
        assert found[0]["kind"] == "caution"
        assert not any(card["tickable"] for card in cards(packet, "weights").values())

    def test_a_rig_without_supports_has_no_such_step(self):
        assert not blocks(made_packet(event_with_rig(1)), "weights")


@pytest.mark.usefixtures("no_sheets")
class TestSharedOutput:
    def event(self, second_level_db: float):
        """Two lines on one processor output; the second's level control is turned down."""
        event = event_with_rig(2)
        event.drivelines.update(output=1)
        event.drivelines.filter(name="Line 2").update(level_control_db=second_level_db)
        return event

    def test_the_lowest_threshold_is_the_one_to_enter_on_both_cards(self):
        packet = made_packet(self.event(-6.0))
        thresholds = [line["limiter_rms_dbu"] for line in packet.run.prediction["lines"]]
        assert thresholds[1] > thresholds[0]
        found = cards(packet, "processing")
        for name in ("Line 1", "Line 2"):
            assert found[name]["figure"] == f"{min(thresholds):+.1f} dBu rms"
            assert found[name]["state"] == "tight" and "lowest" in found[name]["sentence"]

    def test_equal_thresholds_need_no_word(self):
        found = cards(made_packet(self.event(0.0)), "processing")
        assert found["Line 1"]["state"] == "holds" and "Set" in found["Line 1"]["sentence"]

    def test_one_unknown_threshold_leaves_nothing_to_enter(self):
        event = self.event(0.0)
        place = event.amplifierplaces.get(name="Amp 2")
        place.amplifier = factories.amplifier(gain_db=None)
        place.save()
        found = cards(made_packet(event), "processing")
        assert found["Line 1"]["figure"] == "unknown" and not found["Line 1"]["tickable"]

    def test_it_counts_once_in_the_lines_step_too(self):
        packet = made_packet(self.event(-6.0))
        assert cards(packet, "lines")["Processor, output 1"]["state"] == "tight"

    def test_lines_without_a_named_output_share_nothing(self):
        event = self.event(-6.0)
        event.drivelines.update(output=None)
        found = cards(made_packet(event), "processing")
        assert found["Line 1"]["figure"] != found["Line 2"]["figure"]


def test_linked_inputs_stand_on_the_amplifiers_card():
    event = event_with_rig(2)
    place = event.amplifierplaces.get(name="Amp 1")
    place.linked_inputs = True
    place.save()
    second = event.drivelines.get(name="Line 2")
    second.amplifier_place, second.first_channel = place, 2
    second.save()
    card = cards(made_packet(event), "racks")["Amp 1"]
    assert card["state"] == "fails" and facts(card)["Inputs"] == "linked"
    assert card["sentence"].startswith("Its inputs are linked")
