"""Drawings: well-formed, escaped, told in words, the limiting place underlined."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from calc.check import check_lines
from calc.figure import UNKNOWN, Figure
from calc.prediction import GainLadder, GainStage
from calc.system import (
    AmplifierPlace,
    AmplifierSheet,
    AudienceArea,
    CableSheet,
    DriveLine,
    Link,
    LoudspeakerSheet,
    ModeLimits,
    Placement,
    Rating,
    SystemDescription,
    Way,
)
from rigs.systems.pictures import gain_ladder_picture, plan_picture, wiring_picture

SVG = "{http://www.w3.org/2000/svg}"
NASTY = "<script>\"&'"


def figure(value):
    return UNKNOWN if value is None else Figure(value)


def a_way(ohm=8.0):
    return Way(
        NASTY, figure(ohm), UNKNOWN, Figure(400.0), UNKNOWN, Figure(98.0), "1 W",
        UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN,
    )  # fmt: skip


def a_system(boxes=1, ohm=8.0, metres=10.0, name=NASTY, from_amplifier=()):
    names = [f"{name}{n}" for n in range(boxes)]
    return SystemDescription(
        event=NASTY,
        loudspeakers=(LoudspeakerSheet("Box", "top", (a_way(ohm),)),),
        amplifiers=(
            AmplifierSheet(
                "Amp sheet",
                2,
                (
                    Rating("per channel", 8.0, Figure(700.0)),
                    Rating("per channel", 4.0, Figure(1200.0)),
                ),
                (ModeLimits("per channel", Figure(4.0), "rated", 0.0),),
                gain_db=Figure(32.0),
                damping_factor=Figure(400.0),
            ),
        ),
        cables=(CableSheet("Cord", Figure(4.0), "5", Figure(metres), 1),),
        amplifier_places=(AmplifierPlace(NASTY, "", "Amp sheet"),),
        placements=tuple(Placement(each, "Box", i, 0, 1, 0, 0) for i, each in enumerate(names)),
        drive_lines=(
            DriveLine(
                NASTY, "", None, NASTY, 1, "per channel", 0.0,
                tuple(
                    Link(each, NASTY, "Cord", 1, i == 0 or i in from_amplifier)
                    for i, each in enumerate(names)
                ),
            ),
        ),
        areas=(AudienceArea(NASTY, ((-5, 2), (5, 2), (5, 9), (-5, 9)), 0, 1.6),),
    )  # fmt: skip


def wiring(system, upright=False):
    [result] = check_lines(system)
    text = wiring_picture(result, system.drive_lines[0], system, upright=upright)
    return ElementTree.fromstring(text)


def texts(tree):
    return [element.text for element in tree.iter(f"{SVG}text")]


def underlined(tree):
    return [e.text for e in tree.iter(f"{SVG}text") if e.get("text-decoration") == "underline"]


@pytest.mark.parametrize("upright", [False, True])
def test_names_are_escaped_and_told(upright):
    tree = wiring(a_system(3, from_amplifier={2}), upright)
    assert not list(tree.iter(f"{SVG}script")) and not list(tree.iter("script"))
    assert NASTY in tree.find(f"{SVG}title").text
    assert NASTY in tree.find(f"{SVG}desc").text
    assert tree.get("role") == "img"
    assert all("style" not in element.attrib for element in tree.iter())


def test_the_plan_escapes_too_and_names_stage_side_and_scale():
    tree = ElementTree.fromstring(plan_picture(a_system(2)))
    assert not list(tree.iter(f"{SVG}script"))
    assert "stage side" in texts(tree)
    assert any(text.endswith(" m") for text in texts(tree))


def test_the_limiting_place_is_underlined():
    # Four 8 ohm boxes are 2 ohm, the amplifier needs 4: the load limits.
    assert underlined(wiring(a_system(4))) == ["2 ohm, least 4"]


def test_a_long_cable_is_underlined_whichever_way_the_picture_stands():
    system = a_system(1, metres=60.0)
    loss = check_lines(system)[0].boxes[0].cable_loss_db
    assert loss > 0.5
    marked = underlined(wiring(system))
    assert f"{loss:.1f} dB lost" in marked and "60 m" in marked
    assert "60 m, 4 mm²" in underlined(wiring(system, upright=True))


def test_the_cable_that_loses_most_by_itself_is_underlined_not_the_last_one():
    # The first of two equal cables carries both boxes' current; the second only adds to its loss.
    system = a_system(2, metres=40.0)
    first, second = (box.cable_loss_db for box in check_lines(system)[0].boxes)
    assert second > first
    tree = wiring(system)
    assert [text for text in underlined(tree) if " dB" in text] == [f"{first:.1f} dB lost"]
    assert {f"{second - first:.1f} dB here", f"{second:.1f} dB in all"} <= set(texts(tree))


def test_unknown_is_written_as_unknown():
    words = " ".join(texts(wiring(a_system(1, ohm=None), upright=True)))
    assert "load unknown, least 4" in words and "impedance unknown" in words


@pytest.mark.parametrize("upright", [False, True])
def test_everything_lies_on_the_paper(upright):
    tree = wiring(a_system(7, from_amplifier={4}, name="Quite a long name of a box "), upright)
    width, height = float(tree.get("width")), float(tree.get("height"))
    for element in tree.iter(f"{SVG}rect"):
        assert float(element.get("x")) + float(element.get("width")) <= width
        assert float(element.get("y")) + float(element.get("height")) <= height
    for element in tree.iter(f"{SVG}polyline"):
        for point in element.get("points").split():
            x, y = map(float, point.split(","))
            assert 0 <= x <= width and 0 <= y <= height


def test_an_upright_picture_fits_a_phone_at_reading_size():
    tree = wiring(a_system(2), upright=True)
    assert float(tree.get("width")) <= 358
    assert all(float(e.get("font-size")) >= 14 for e in tree.iter(f"{SVG}text"))


@pytest.mark.parametrize(
    ("names", "label"),
    [
        (["Sub 1", "Sub 2", "Sub 3"], "Sub 1 to 3"),
        (["Top 1 left", "Top 2 left"], "Top 1 to 2 left"),
    ],
)
def test_neighbours_share_a_label_on_the_plan(names, label):
    boxes = tuple(Placement(name, "Box", i * 0.2, 0, 1, 0, 0) for i, name in enumerate(names))
    drawn = texts(ElementTree.fromstring(plan_picture(SystemDescription("E", placements=boxes))))
    assert label in drawn


def test_a_gap_in_the_numbers_is_not_hidden():
    boxes = tuple(Placement(f"Sub {n}", "Box", n * 0.2, 0, 1, 0, 0) for n in (1, 2, 4))
    drawn = texts(ElementTree.fromstring(plan_picture(SystemDescription("E", placements=boxes))))
    assert "Sub 1 to 2" in drawn and "Sub 4" in drawn


def a_ladder(**changes):
    stages = [
        GainStage(NASTY, 0.0, 22.0, -84.0, 22.0, -84.0, -84.0),
        GainStage("amplifier output", 32.0, 39.0, -60.0, 7.0, -92.0, -52.0),
        GainStage("box", 0.0, None, None, None, None, None),
    ]
    values = {
        "stages": tuple(stages),
        "first_to_clip": "",
        "first_known_to_clip": "amplifier output",
        "aligned_level_control_db": -3.0,
        "hiss_db": None,
        "hiss_at_least_db": 21.0,
        "hiss_distance_m": 2.0,
        "sentences": (f"{NASTY} is told.",),
    }
    return GainLadder(**values | changes)


@pytest.mark.parametrize("upright", [False, True])
def test_a_gain_ladder_is_well_formed_escaped_and_told(upright):
    drawn = gain_ladder_picture(a_ladder(), upright=upright)
    root = ElementTree.fromstring(drawn)
    assert "<script>" not in drawn and "style=" not in drawn
    assert root.find(f"{SVG}title").text == (
        "Gain ladder: amplifier output clips first of those known"
    )
    told = root.find(f"{SVG}desc").text
    assert "clips at +39.0 dBu, noise -60.0 dBu" in told and "box: clip unknown" in told
    texts = [each.text for each in root.iter(f"{SVG}text")]
    assert "first of those known" in texts and "15.0 dB later" in texts


def test_the_stage_that_clips_first_has_the_lowest_top():
    root = ElementTree.fromstring(gain_ladder_picture(a_ladder()))
    tops = [
        float(each.get("points").split()[0].split(",")[1])
        for each in root.iter(f"{SVG}polyline")
        if each.get("class") == "clip"
    ]
    assert len(tops) == 2 and tops[1] > tops[0]  # y runs down the paper


@pytest.mark.parametrize("stages", [0, 1])
def test_a_ladder_of_which_nothing_is_known_is_drawn_all_the_same(stages):
    unknown = GainStage("box", None, None, None, None, None, None)
    ladder = a_ladder(
        stages=(unknown,) * stages, first_known_to_clip="", hiss_at_least_db=None, sentences=()
    )
    for upright in (False, True):
        ElementTree.fromstring(gain_ladder_picture(ladder, upright=upright))


def test_heat_and_series_stand_in_the_wiring_picture():
    system = a_system(boxes=2, metres=60.0)
    line = system.drive_lines[0]
    [result] = check_lines(system)
    assert "W/m heat" in wiring_picture(result, line, system)
    links = (line.links[0], replace(line.links[1], series_with_previous=True))
    system = replace(system, drive_lines=(replace(line, links=links),))
    [result] = check_lines(system)
    drawn = wiring_picture(result, system.drive_lines[0], system, upright=True)
    # 16 ohm lies outside of the amplifier's table: no volts, and no heat made up from them
    assert "heat unknown" in drawn and "in series with" in drawn and "<script>" not in drawn


@pytest.mark.parametrize("upright", [False, True])
def test_unknown_noise_is_an_open_line_and_no_bar_to_the_floor(upright):
    stages = (
        GainStage("known", 0.0, 22.0, -84.0, 22.0, -84.0, -84.0),
        GainStage("quiet about it", 0.0, 20.0, None, 20.0, None, None),
    )
    ladder = GainLadder(stages, "", "quiet about it", None, None, None, None)
    tree = ElementTree.fromstring(gain_ladder_picture(ladder, upright=upright))
    bars = [e for e in tree.iter(f"{SVG}polygon") if "range" in e.get("class", "")]
    lines = [e for e in tree.iter(f"{SVG}polyline") if "open" in e.get("class", "")]
    assert (len(bars), len(lines)) == (1, 1)
    assert lines[0].get("stroke-dasharray")


def test_the_volts_say_whether_limiter_or_amplifier_stops_them():
    # 700 W at 8 ohm gives 74.8 V; a 400 W box bears 56.6 V: the limiter comes first.
    assert "56.6 V at the limiter" in texts(wiring(a_system(1)))
