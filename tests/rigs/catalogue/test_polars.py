"""Polars and responses on the axis, as pasted: data, or a sentence that names the line."""

import math

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from calc.acoustics.directivity.table import balloon_faults
from rigs.catalogue.axis import Response, read_response, response_fault, write_response
from rigs.catalogue.directivity import directivity_fault, from_plain
from rigs.catalogue.polar_picture import Trace, polar_picture
from rigs.catalogue.polars import read_polars, write_polars
from rigs.systems.describe.radiation import _whole


def table(angles=range(0, 181, 10), bands="500, 1000", planes="hv", level=lambda a: -a / 10):
    lines = [f"plane, angle, {bands}"]
    count = len(bands.split(","))
    for plane in planes:
        lines += [f"{plane}, {a}, " + ", ".join([str(level(a))] * count) for a in angles]
    return "\n".join(lines)


def faults(text, read=read_polars):
    with pytest.raises(ValidationError) as refused:
        read(text)
    return refused.value.messages


def test_both_planes_are_read_and_the_halves_completed():
    polars = read_polars(table())
    assert polars.band_hz == (500, 1000)
    assert polars.horizontal.angle_deg[-1] == 180
    balloon = _whole(polars)
    right, left = balloon.level_db[0][0], balloon.level_db[0][36]
    assert right == left  # azimuth 180 mirrors azimuth 0
    assert right[18] == pytest.approx(-9)  # polar 90 degrees


def test_columns_may_come_from_a_spreadsheet():
    text = table().replace(", ", ";").replace(".", ",")
    assert read_polars("\ufeff# measured outdoors\n" + text) == read_polars(table())
    assert read_polars("  \n") is None


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("angle, 500\n0, 0", "Line 1, “angle, 500”: the first line must read plane, angle"),
        (table(bands="1000, 500"), "Line 1, “plane, angle, 1000, 500”: the bands must rise"),
        (table(bands="500, x"), "“x” is no band in Hz"),
        (table(planes="h"), "The vertical plane: it is missing"),
        (table(range(10, 181, 10)), "The horizontal plane: the axis is missing"),
        (table(range(0, 171, 10)), "180 degrees is missing"),
        (table([*range(0, 90, 10), *range(100, 181, 10)]), "90 degrees is missing"),
        (table(range(0, 181, 15)), "angles must go in steps of 5 or 10 degrees"),
        (table([0, 5, *range(10, 181, 10)]), "15 degrees is missing"),
        (table().replace("h, 30, -3.0", "h, 30, nan"), "Line 5, “h, 30, nan, -3.0”: “nan” is no"),
        (table().replace("h, 30, -3.0", "h, 30, 1e9"), "a level of 1e+09 dB is not believable"),
        (table().replace("h, 30, -3.0, -3.0", "h, 30, -3"), "it needs 3 numbers"),
        (table().replace("h, 30", "q, 30"), "it must begin with h or v"),
        (table().replace("h, 30", "h, 20"), "20 degrees stands above already"),
        (table(range(-90, 181, 10)), "-100 degrees"),
        ("plane, angle, 500\n" * 20_000, "too long"),
    ],
)
def test_a_table_that_is_not_whole_is_a_sentence(text, sentence):
    said = " ".join(faults(text))
    if sentence == "-100 degrees":
        assert "100 degrees is missing" in said
    else:
        assert sentence in said


cells = st.sampled_from(
    ["h", "v", "0", "5", "10", "180", "-180", "360", "1e999", "nan", "x", "", "-3,5"]
)
lines = st.lists(st.lists(cells, max_size=5).map(", ".join), max_size=40).map("\n".join)


@given(st.text(max_size=300) | lines | lines.map(lambda text: "plane, angle, 500, 1000\n" + text))
def test_any_text_is_a_table_or_a_sentence(text):
    try:
        polars = read_polars(text)
    except ValidationError as refused:
        assert all(said.endswith(".") for said in refused.messages)
    else:
        assert polars is None or directivity_fault(polars.to_plain()) == ""


@given(
    st.sampled_from([5, 10]),
    st.sampled_from(["half", "from -180", "from 0"]),
    st.lists(st.floats(20, 20000), min_size=1, max_size=4, unique_by=lambda f: f"{f:.12g}"),
    st.integers(-8000, 2000).map(lambda hundredths: hundredths / 100),
)
def test_what_is_accepted_reads_back_and_calc_makes_a_balloon_of_it(step, round_, bands, level):
    start, end = {"half": (0, 180), "from -180": (-180, 179), "from 0": (0, 359)}[round_]
    words = ", ".join(f"{hz:.12g}" for hz in sorted(bands))
    text = table(range(start, end + 1, step), words, level=lambda a: level if a else 0)
    polars = read_polars(text)
    assert from_plain(polars.to_plain()) == polars
    assert read_polars(write_polars(polars)) == polars
    balloon = _whole(polars)
    assert list(balloon_faults(balloon)) == []


def test_a_stored_directivity_that_cannot_be_is_a_sentence():
    plain = read_polars(table()).to_plain()
    assert directivity_fault(plain) == ""
    assert "either polars" in directivity_fault([])
    assert "numbers in Hz" in directivity_fault(plain | {"band_hz": [math.nan]})
    assert "needs one row of 2 levels" in directivity_fault(
        plain | {"vertical": plain["vertical"] | {"level_db": []}}
    )
    balloon = {"kind": "balloon", "band_hz": [500], "azimuth_deg": [0, 90], "polar_deg": [0, 180]}
    levels = {"level_db": [[[0, -6], [0, -6]]], "phase_deg": []}
    assert directivity_fault(balloon | levels) == ""
    assert "level_db for each band" in directivity_fault(balloon | levels | {"level_db": []})
    assert "one phase_deg" in directivity_fault(balloon | levels | {"phase_deg": [[[0], [0]]]})


def test_a_response_is_read_and_written():
    response = read_response("Hz, dB\n50, 91.5\n100; 97,2\n")
    assert response == Response((50, 100), (91.5, 97.2))
    assert read_response(write_response(response)) == response
    assert read_response("") is None


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("50, 90", "at least two points"),
        ("50, 90\n40, 91", "frequencies must rise, but 50 Hz stands before it"),
        ("50, 90\n60", "Line 2, “60”: write Hz and dB"),
        ("50, 90\n60, NaN", "write Hz and dB"),
        ("50, 90\n60, 500", "a level of 500 dB is not believable"),
        ("0, 90\n60, 90", "a frequency of 0 Hz is not believable"),
    ],
)
def test_a_response_that_cannot_be_is_a_sentence(text, sentence):
    assert sentence in " ".join(faults(text, read_response))


@given(st.text(max_size=200) | lines)
def test_any_text_is_a_response_or_a_sentence(text):
    try:
        response = read_response(text)
    except ValidationError as refused:
        assert all(said.endswith(".") for said in refused.messages)
    else:
        assert response is None or response_fault(response.to_plain()) == ""


def test_a_polar_is_told_and_its_bands_differ_without_colour():
    angles = tuple(range(-180, 181, 5))
    traces = [
        Trace(name, angles, tuple(-abs(a) / 10 for a in angles)) for name in ("1 kHz", "4 kHz")
    ]
    svg = polar_picture("Horizontal <polar>", traces)
    assert "&lt;polar&gt;" in svg
    assert "1 kHz: -3.0 dB at 30 degrees, -6.0 at 60, -9.0 at 90, -18.0 behind" in svg
    drawn = [part for part in svg.split("<polyline") if 'class="trace"' in part]
    assert len({"stroke-dasharray" in part for part in drawn}) == 2
    assert "style=" not in svg


def test_up_is_up_when_a_polar_is_seen_from_the_side():
    up = Trace("1 kHz", (-90, 0, 90), (-30, -30, 0))  # all of it goes up, or right
    places = [
        picture.split('class="trace" points="')[1].split('"')[0].split()[2].split(",")
        for picture in (polar_picture("t", [up]), polar_picture("t", [up], from_side=True))
    ]
    (right_x, right_y), (up_x, up_y) = [tuple(map(float, place)) for place in places]
    assert right_x > up_x and up_y < right_y
