"""Line-up and alignment in a packet: cautions first, and the number that decides."""

import pytest
from django.urls import reverse

from rigs.packets import actions
from rigs.packets.compute import Finding
from rigs.packets.models import Packet
from rigs.packets.rendering import steps_of, totals
from tests import factories
from tests.rigs.packets.rigs import event_with_rig
from tests.rigs.packets.sheets import alignment, crossover, packet_with, sheet, step

pytestmark = pytest.mark.django_db


def section(packet: Packet, key: str) -> dict:
    return next(s for s in packet.sections if s["key"] == key)


def cards(packet: Packet, key: str) -> dict[str, dict]:
    return {block["name"]: block for block in section(packet, key)["blocks"] if "name" in block}


def facts(card: dict) -> dict[str, str]:
    return {one["name"]: one["value"] for one in card["facts"]}


def page(client, packet: Packet) -> str:
    client.force_login(factories.person("system tech"))
    return client.get(reverse("packets:packet", args=[packet.pk])).content.decode()


def finding(**fields) -> Finding:
    usual = {
        "subject": "Subs to tops",
        "check": "alignment",
        "title": "Phase in the overlap",
        "state": "fails",
        "value": 170.0,
        "limit": 60.0,
        "unit": "degrees",
        "limit_source": "common practice, no source",
        "sentence": "Subs to tops: 170 degrees apart at 90 Hz.",
    }
    return Finding(**usual | fields)


STEPS = (
    step("faders", title="Faders down"),
    step("amplifiers", title="Amplifiers on", does="Switch them on.", caution="Last of all."),
    step("output 1", title="Processor, output 1: Line 1", does="Open it alone.", expect="Top 1."),
)


def test_line_up_stands_behind_what_has_to_be_entered_first(client):
    packet = packet_with(event_with_rig(1), line_up=STEPS)
    keys = [one["key"] for one in packet.sections]
    assert keys.index("power") < keys.index("processing") < keys.index("line-up")
    assert keys.index("line-up") < keys.index("coverage")
    text = page(client, packet)
    titles = [text.index(one.title) for one in STEPS[:2]]
    assert titles == sorted(titles) and text.index("Last of all.") < text.index("Switch them on.")


def test_each_step_is_ticked_and_keeps_its_tick(client):
    event = event_with_rig(1)
    person = factories.person("system tech")
    actions.tick(packet_with(event, line_up=STEPS), "line-up:faders", person)
    text = page(client, packet_with(event, line_up=STEPS))
    assert "Seen on site in version 1" in text and "0 of 3 seen, 1 in an earlier version" in text


def test_an_alignment_shows_what_decides_arrivals_delay_and_drift():
    """7.3 ms at 343.2 m/s (20 degC) are 2.505 m, 8.22 ft (MATH)."""
    packet = packet_with(event_with_rig(2), alignments=(alignment(),), findings=(finding(),))
    card = cards(packet, "alignment")["Subs to tops"]
    assert (card["figure"], card["against"]) == ("170 degrees", "at most 60 degrees")
    shown = facts(card)
    assert shown["Phase in the overlap"] == "170 degrees apart"
    assert shown["Delay to enter"] == "7.30 ms (2.51 m, 8.22 ft)"
    assert shown["Arrive now"] == "delayed side after 20 ms, the other after 27.3 ms"
    assert shown["After the change"] == "25 degrees apart"
    assert shown["Drift to the show"].startswith("delayed side 0.3 ms later (set at 12 °C")
    assert shown["Overlap"] == "60 to 140 Hz"
    assert card["picture"]["key"] == "alignment-1"


def test_polarity_in_place_of_delay_is_said_as_a_caution():
    told = "Polarity stands in for a delay of 7.3 ms."
    packet = packet_with(event_with_rig(2), alignments=(alignment(as_inversion=told),))
    assert cards(packet, "alignment")["Subs to tops"]["cautions"] == [told]


def test_what_decides_is_not_said_twice():
    told = "Polarity stands in for a delay of 7.3 ms."
    found = finding(check="delay_as_inversion", sentence=f"Subs to tops: {told}")
    packet = packet_with(
        event_with_rig(2), alignments=(alignment(as_inversion=told),), findings=(found,)
    )
    card = cards(packet, "alignment")["Subs to tops"]
    assert card["sentence"] == told and card["cautions"] == []


def test_a_fill_has_to_come_in_time_and_its_phase_is_left_out():
    fill = alignment(
        kind="fill or tower", invert=None, worst_phase_deg=None, best_worst_phase_deg=None,
        sum_db=None, best_sum_db=None, phase_deg=(), best_phase_deg=(), best_sum_db_curve=(),
    )  # fmt: skip
    card = cards(packet_with(event_with_rig(2), alignments=(fill,)), "alignment")["Subs to tops"]
    assert not {"Polarity", "Phase in the overlap", "Overlap"} & set(facts(card))
    assert card["picture"] is None and card["more"][0]["blocks"][0]["key"] == "alignment-1-levels"


def test_where_the_other_side_must_wait_it_is_named():
    packet = packet_with(event_with_rig(2), alignments=(alignment(delay_ms=-3.0, add_ms=-3.0),))
    shown = facts(cards(packet, "alignment")["Subs to tops"])
    assert "on Line 1: the other side comes later already" in shown["Delay to enter"]
    assert shown["That is"] == "3.00 ms less than is set"


def test_nothing_known_is_unknown_and_draws_nothing():
    nothing = dict.fromkeys(
        ("moved_arrival_ms", "reference_arrival_ms", "delay_ms", "add_ms", "invert",
         "worst_phase_deg", "best_worst_phase_deg", "sum_db", "best_sum_db", "drift_ms")
    ) | dict.fromkeys(
        ("overlap_hz", "frequency_hz", "phase_deg", "best_phase_deg", "moved_db",
         "reference_db", "sum_db_curve", "best_sum_db_curve"), ()
    )  # fmt: skip
    empty = alignment(**nothing, unknown=("Where the spot is.",))
    card = cards(packet_with(event_with_rig(2), alignments=(empty,)), "alignment")["Subs to tops"]
    assert card["picture"] is None
    shown = facts(card)
    for name in ("Delay to enter", "Polarity", "Phase in the overlap"):
        assert shown[name] == "unknown"
    assert card["more"][0]["blocks"][0]["items"] == ["Where the spot is."]


def test_a_finding_of_an_alignment_stands_there_and_is_counted_once(client):
    packet = packet_with(event_with_rig(1), alignments=(alignment(),), findings=(finding(),))
    card = cards(packet, "alignment")["Subs to tops"]
    assert card["state"] == "fails" and card["sentence"] == "170 degrees apart at 90 Hz."
    assert section(packet, "alignment")["tally"] == {"fails": 1}
    assert "Subs to tops" not in cards(packet, "lines")
    lines = section(packet, "lines")["tally"].get("fails", 0)
    head = page(client, packet).split("running-order")[0]
    assert f"{lines + 1} fails" in head


def test_a_finding_of_an_output_stands_on_its_sheet_and_is_counted_once(client):
    wrong = finding(
        subject="Processor, output 1",
        check="filter_fits",
        sentence="Processor, output 1: 12 filters, this processor has 10.",
    )
    packet = packet_with(event_with_rig(1), findings=(wrong,))
    card = cards(packet, "processing")["Output 1: Line 1"]
    assert card["state"] == "fails"
    assert card["sentence"] == "12 filters, this processor has 10."
    assert "Processor, output 1" not in cards(packet, "lines")
    lines = section(packet, "lines")["tally"].get("fails", 0)
    assert f"{lines + 1} fails" in page(client, packet).split("running-order")[0]


def test_a_limiter_of_a_sheet_is_not_counted_twice():
    packet = packet_with(event_with_rig(1))
    (output, *_) = [b for b in section(packet, "processing")["blocks"] if b["kind"] == "output"]
    assert output["state"] == "holds" and output["findings"][0]["check"] == "limiter"
    whole = sum(
        one["tally"].get("holds", 0)
        for one in packet.sections
        if one["key"] not in ("racks", "processing")
    )
    assert totals(steps_of(packet, packet.made_at))["holds"] == whole


def test_a_crossover_shows_its_polarity_against_the_theory():
    packet = packet_with(event_with_rig(1), crossovers=(crossover(),))
    card = cards(packet, "alignment")["Top 1: LF and HF"]
    assert card["place"] == "on the axis; Top 2 alike" and card["figure"] == "30.0 dB dip"
    shown = facts(card)
    assert shown["Polarity by theory"] == "both alike, but set: one inverted"
    assert shown["Crossover"] == "1200 Hz"
    assert {"ways-1", "ways-1-phase"} <= set(packet.pictures)


def polarity(**fields) -> Finding:
    usual = {
        "subject": "Top 1",
        "check": "crossover_polarity",
        "title": "Polarity of the ways",
        "value": -30.0,
        "limit": -3.0,
        "unit": "dB",
        "sentence": "Top 1, LF and HF: the two must not be inverted. Change one.",
    }
    return finding(**usual | fields)


def test_a_finding_of_a_crossover_decides_its_card_alone():
    other = crossover(lower="MF", subject="Top 1")
    at_spot = crossover(spot="Mixing desk")
    packet = packet_with(
        event_with_rig(1), crossovers=(crossover(), at_spot, other), findings=(polarity(),)
    )
    blocks = [b for b in section(packet, "alignment")["blocks"] if b["kind"] == "card"]
    assert [(b["place"].split(";")[0], b["state"]) for b in blocks] == [
        ("on the axis", "fails"), ("at Mixing desk", ""), ("on the axis", ""),
    ]  # fmt: skip
    assert (blocks[0]["figure"], blocks[0]["against"]) == ("-30.0 dB", "no deeper than -3.0 dB")
    assert "Top 1" not in cards(packet, "lines")


def test_a_crossover_that_cannot_be_worked_out_still_has_its_card():
    unsaid = polarity(
        subject="Top 9", state="cannot check", value=None, sentence="Top 9: enter its outputs."
    )
    packet = packet_with(event_with_rig(1), findings=(unsaid,))
    card = cards(packet, "alignment")["Top 9"]
    assert (card["state"], card["figure"]) == ("cannot check", "unknown")


def test_what_is_found_about_a_processor_stands_above_its_outputs(client):
    full = finding(
        subject="Processor", check="fits_processor", value=8.0, limit=6.0, unit="outputs",
        sentence="Processor: 8 outputs, it has 6.",
    )  # fmt: skip
    packet = packet_with(event_with_rig(1), findings=(full,))
    kinds = [(b["kind"], b.get("name")) for b in section(packet, "processing")["blocks"][1:3]]
    assert kinds == [("processor", "Processor"), ("card", "Processor")]
    assert "Processor" not in cards(packet, "lines")
    lines = section(packet, "lines")["tally"].get("fails", 0)
    assert f"{lines + 1} fails" in page(client, packet).split("running-order")[0]
    own = client.get(reverse("packets:dial_in", args=[packet.pk, 1])).content.decode()
    assert "8 outputs, it has 6." in own


def test_pictures_of_what_runs_together_are_served(client):
    packet = packet_with(
        event_with_rig(1), sheet(), alignments=(alignment(),), crossovers=(crossover(),)
    )
    client.force_login(factories.person("crew"))
    for key in ("alignment-1", "alignment-1-tall", "alignment-1-levels", "ways-1", "ways-1-phase"):
        answer = client.get(reverse("packets:picture", args=[packet.pk, key]))
        assert answer.status_code == 200 and b"<svg" in answer.content
