"""What the packet tells of level, exposure and room."""

import pytest

from rigs.packets.compute import check
from rigs.packets.sections import make_sections
from rigs.systems.describe import describe
from tests import factories
from venues.models import AudienceArea, ListeningPlace

pytestmark = pytest.mark.django_db

KIT = {
    "rows": [], "pieces": 0, "mass_kg": 0, "unknown_mass": 0,
    "cable_m": {}, "unknown_length": 0, "missing": [], "unknown": "", "heavy": [],
}  # fmt: skip


def sections_of(event):
    system = describe(event)
    return {s["key"]: s for s in make_sections(system, check(system), KIT)}


def hall(**fields):
    """An event in a hall with one loud box over one area."""
    space = factories.space(volume_m3=2000, **fields)
    factories.area(space=space, name="Stalls")
    ListeningPlace.objects.create(space=space, name="Monitor desk", x_m=3, y_m=1, z_m=1.6)
    event = factories.event(space=space, target_dba=95)
    factories.plays(factories.line(event, factories.placement(event)))
    return event


def tables(section):
    return {b["title"]: b["rows"] for b in section["blocks"] if b["kind"] == "table"}


def test_the_wished_level_is_held_against_the_rig():
    coverage = sections_of(hall())["coverage"]
    whole = next(b for b in coverage["blocks"] if b.get("key") == "levels")
    assert whole["state"] in {"holds", "tight", "fails"}
    assert "95" in str(whole)


def test_without_a_wish_it_cannot_be_checked():
    event = hall()
    event.target_dba = None
    event.save()
    coverage = sections_of(event)["coverage"]
    whole = next(b for b in coverage["blocks"] if b.get("key") == "levels")
    assert whole["state"] == "cannot check"


def test_crew_and_audience_stand_in_the_exposure_table_as_an_estimate():
    coverage = sections_of(hall())["coverage"]
    who = [row[0] for row in tables(coverage)["Exposure over the show"]]
    assert {"Stalls", "Monitor desk"} <= set(who)
    assert any("no certified meter" in b.get("text", "") for b in coverage["blocks"])


def test_room_step_shows_measured_decay_and_speech_as_estimates():
    room = sections_of(hall(decay_s=[1.5] * 7))["room"]
    shown = tables(room)
    assert all(row[1] == "1.5 s" for row in shown["Decay time and critical distance"])
    (speech,) = shown["Speech transmission index, IEC 60268-16 edition 5, male"]
    assert 0 < float(speech[3]) <= 1
    assert "evacuation" in room["blocks"][0]["text"]


def test_the_room_step_names_octaves_and_categories_as_people_do():
    room = sections_of(hall(decay_s=[1.5] * 7))["room"]
    tables = [block for block in room["blocks"] if block["kind"] == "table"]
    assert [row[0] for row in tables[0]["rows"]][:4] == ["125 Hz", "250 Hz", "500 Hz", "1 kHz"]
    assert "category" in tables[1]["rows"][0][2]


def test_a_stage_is_no_audience_area():
    event = hall()
    factories.area(space=event.space, name="Stage", kind="stage")
    cards = [b for b in sections_of(event)["coverage"]["blocks"] if b["kind"] == "card"]
    places = {card["name"]: card["place"] for card in cards}
    assert places["Stage"] == "Stage" and "Audience area" in places.values()


def test_no_room_step_where_no_decay_is_known():
    assert "room" not in sections_of(hall())


def test_a_raked_audience_gets_a_section_in_the_packet():
    def keys(event):
        blocks = sections_of(event)["coverage"]["blocks"]
        return [block["key"] for block in blocks if block["kind"] == "picture"]

    event = hall()
    assert "section" not in keys(event)
    AudienceArea.objects.filter(space=event.space).update(rake_deg=12.0)
    assert "section" in keys(event)


def test_the_ring_out_says_how_far_each_microphone_can_be_opened():
    event = hall(decay_s=[1.2] * 7)
    event.stagemicrophones.create(name="Lectern", source_m=0.3, pattern="cardioid")
    event.stagemicrophones.create(name="Choir")
    section = sections_of(event)["ring-out"]
    cards = {b["name"]: b for b in section["blocks"] if b["kind"] == "card"}
    assert cards["Choir"]["state"] == "cannot check" and cards["Choir"]["figure"] == "unknown"
    assert "Enter the distance" in cards["Choir"]["sentence"]
    lectern = cards["Lectern"]
    facts = {fact["name"]: fact["value"] for fact in lectern["facts"]}
    assert lectern["state"] in {"holds", "tight", "fails"}
    assert lectern["against"] == "at least 6.0 dB"
    possible, needed, left = (
        float(facts[name].removesuffix(" dB"))
        for name in ("Gain possible, margin kept", "Gain needed", "Left")
    )
    assert left == pytest.approx(possible - needed, abs=0.11)
    assert facts["Open with it"] == "1 other" and facts["Source"] == "0.3 m, 0.98 ft"
    helps = next(fold for fold in lectern["more"] if fold["title"] == "What helps")
    gains = dict(helps["blocks"][0]["rows"])
    nearer = float(gains["Source at 0.15 m instead of 0.3 m"].removesuffix(" dB"))
    assert 5.5 < nearer <= 6.1


def test_no_microphone_no_ring_out():
    assert "ring-out" not in sections_of(hall())
