"""Impedance curves: what can be one, where the least lies, how people type them."""

import math

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from rigs.catalogue.impedance import MOST_POINTS, Curve, curve_fault
from rigs.catalogue.pasted import read_curve, write_curve
from rigs.catalogue.typed_lines import MOST_CHARACTERS, decode

TEXT = "20, 8\n50, 24\n200, 6.4\n1000, 9.5"


def faults(text):
    with pytest.raises(ValidationError) as refused:
        read_curve(text)
    return refused.value.messages


# --- what it says ----------------------------------------------------------------------------


def test_the_least_is_that_of_the_band():
    curve = Curve((20, 50, 200, 1000), (5, 24, 6.4, 9.5))
    assert curve.minimum() == (20, 5)
    assert curve.minimum(50, 1000) == (200, 6.4)
    assert curve.minimum(None, 50) == (20, 5)


def test_the_least_may_lie_at_the_edge_of_the_band_between_two_points():
    """Half of the way from 100 to 400 Hz on a logarithmic axis is 200 Hz, from 4 to 16 ohm 8."""
    curve = Curve((100, 400), (4, 16))
    hz, ohm = curve.minimum(200, 400)
    assert (hz, ohm) == (200, pytest.approx(8))


def test_a_band_beside_the_curve_gives_the_least_of_the_curve():
    assert Curve((100, 400), (4, 16)).minimum(1000, 2000) == (100, 4)


# --- what can be stored ----------------------------------------------------------------------

GOOD = {"frequency_hz": [20, 200], "magnitude_ohm": [8, 6.4], "phase_deg": [10, -20]}


def test_a_good_curve_has_no_fault_and_survives_storing():
    assert curve_fault(GOOD) == ""
    assert curve_fault(GOOD | {"phase_deg": []}) == ""
    assert Curve.from_plain(GOOD).to_plain() == GOOD


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"frequency_hz": [20, 20]}, "must rise"),
        ({"frequency_hz": [0, 20]}, "Point 1: a frequency of 0 Hz"),
        ({"magnitude_ohm": [8, 0]}, "Point 2: an impedance of 0 ohm cannot be"),
        ({"magnitude_ohm": [8, -4]}, "cannot be"),
        ({"magnitude_ohm": [8, 1e6]}, "not believable"),
        ({"phase_deg": [0, 91]}, "a phase of 91 degrees cannot be"),
        ({"phase_deg": [0]}, "one phase or none at all"),
        ({"magnitude_ohm": [8]}, "one impedance"),
        ({"magnitude_ohm": [8, math.nan]}, "three lists of numbers"),
        ({"magnitude_ohm": [8, True]}, "three lists of numbers"),
        ({"magnitude_ohm": [8, 10**400]}, "three lists of numbers"),
        ({"magnitude_ohm": "88"}, "three lists of numbers"),
        ({"colour": []}, "three lists of numbers"),
        ({"frequency_hz": [], "magnitude_ohm": [], "phase_deg": []}, "between 2 and 2000 points"),
    ],
)
def test_what_can_be_no_curve_is_said(change, words):
    assert words in curve_fault(GOOD | change)


def test_an_empty_mapping_or_another_thing_is_no_curve():
    for thing in ({}, [], 5, "curve", None):
        assert curve_fault(thing)


LISTS = st.sampled_from(["frequency_hz", "magnitude_ohm", "phase_deg"])
SCALARS = st.none() | st.booleans() | st.floats() | st.integers() | st.text()


@given(st.recursive(SCALARS, lambda inner: st.lists(inner) | st.dictionaries(LISTS, inner)))
def test_whatever_is_stored_there_is_a_sentence_or_a_curve(stored):
    if not curve_fault(stored):
        assert Curve.from_plain(stored).minimum()[1] > 0


# --- typed -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "63,8.2,-31\n125,6.5,12",
        "63;8,2;-31\n125;6,5;12",
        "63\t8.2\t-31\r\n125\t6.5\t12\r\n",
        "\ufeffFrequency (Hz), Ohm, Phase\n\n# measured in May\n63, 8.2, -31,\n 125 , 6.5 , +12 ",
        '"63","8.2","-31"\n"125","6.5","12"',
        "6.3e1; 8.2; -31\n1.25E+2; 6.50; 12.",
    ],
)
def test_columns_are_read_however_they_are_separated(text):
    assert read_curve(text) == Curve((63, 125), (8.2, 6.5), (-31, 12))


def test_two_columns_are_a_curve_without_phase():
    assert read_curve(TEXT) == Curve((20, 50, 200, 1000), (8, 24, 6.4, 9.5))


@pytest.mark.parametrize("text", ["", "  \n\n", "# nothing yet", "Hz, ohm"])
def test_nothing_is_no_curve(text):
    assert read_curve(text) is None


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("20, 8\n50, x", "Line 2, “50, x”: write Hz, ohm and, where known, degrees: 63, 8.2, -31."),
        ("20, 8\n50", "Line 2, “50”: write Hz, ohm"),
        ("20, 8\n50, 7, 1, 2", "Line 2, “50, 7, 1, 2”: write Hz"),
        ("20, 8\n50, nan", "Line 2, “50, nan”: write Hz"),
        ("nan, 8\n50, 7", "Line 1, “nan, 8”: write Hz"),
        ("20, 8\n50, 1e999", "Line 2, “50, 1e999”: an impedance of inf ohm is not believable"),
        ("20, 8\n20, 7", "Line 2, “20, 7”: frequencies must rise, but line 1 has 20 Hz."),
        ("\n20, 8\n\n10, 7", "Line 4, “10, 7”: frequencies must rise, but line 2 has 20 Hz."),
        ("20, 0\n50, 7", "Line 1, “20, 0”: an impedance of 0 ohm cannot be; it lies above zero."),
        ("20, 8\n50, -7", "an impedance of -7 ohm cannot be"),
        ("0, 8\n50, 7", "Line 1, “0, 8”: a frequency of 0 Hz is not believable"),
        ("20, 8, 0\n50, 7, 90.5", "a phase of 90.5 degrees cannot be; it lies between -90 and 90."),
        ("20, 8, 0\n50, 7", "Line 2, “50, 7”: it has no phase, line 1 has one"),
        ("20, 8\n50, 7, 0", "Line 2, “50, 7, 0”: it has a phase, line 1 has none"),
        ("20, 8\n5_0, 7", "Line 2, “5_0, 7”: write Hz"),
        ("20, 8\n\u0665\u0660, 7", "Line 2, “\u0665\u0660, 7”: write Hz"),
        ("20, 8", "A curve needs at least two points."),
    ],
)
def test_what_cannot_be_read_is_a_sentence_with_the_line(text, sentence):
    assert any(sentence in said for said in faults(text))


def test_many_bad_lines_are_counted_not_listed():
    said = faults("\n".join(f"{n}, ohm" for n in range(1, 31)))
    assert len(said) == 6
    assert said[-1] == "25 more lines can't be read."


def test_too_much_is_refused_before_it_is_read():
    assert "too long" in faults("1" * (MOST_CHARACTERS + 1))[0]
    lines = "\n".join(f"{n}, 8" for n in range(1, MOST_POINTS + 2))
    assert f"at most {MOST_POINTS} points" in faults(lines)[0]


def test_a_long_line_is_shown_in_short():
    (said,) = faults("20, 8\n50, " + "x" * 5000)
    assert len(said) < 200


@given(st.text() | st.text('0123456789.,;\t -+eE\nnaif#"', max_size=200))
def test_any_text_gives_a_curve_or_sentences(text):
    try:
        curve = read_curve(text)
    except ValidationError as refused:
        assert all(said.endswith(".") for said in refused.messages)
    else:
        assert curve is None or curve_fault(curve.to_plain()) == ""


@given(
    st.binary(max_size=400)
    | st.text().map(str.encode)
    | st.text().map(lambda t: t.encode("utf-16"))
)
def test_any_file_gives_a_text_or_a_sentence(content):
    try:
        assert "\0" not in decode(content, "a curve")
    except ValidationError as refused:
        assert refused.messages == ["This is no text file. Save it as CSV, then upload that."]


def test_files_of_spreadsheets_are_text():
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "latin-1"):
        words = decode(
            "Frequenz in Hz;Betrag in Ω\n20;8,1\n40;7".replace("Ω", "\xb0").encode(encoding),
            "a curve",
        )
        assert read_curve(words) == Curve((20, 40), (8.1, 7))
    assert read_curve(decode(b"", "a curve")) is None


def test_a_file_that_is_too_large_is_refused():
    with pytest.raises(ValidationError, match="too large"):
        decode(b"1" * (MOST_CHARACTERS + 1), "a curve")


points = st.lists(
    st.tuples(st.floats(1, 1e5), st.floats(0.1, 1e4), st.floats(-90, 90)),
    min_size=2, max_size=30, unique_by=lambda point: float(f"{point[0]:.12g}"),
).map(sorted)  # fmt: skip


@given(points, st.booleans())
def test_what_is_written_reads_back_the_same(rows, with_phase):
    hz, ohm, phase = zip(*rows, strict=True)
    curve = Curve(hz, ohm, phase if with_phase else ())
    again = read_curve(write_curve(curve))
    assert again.frequency_hz == pytest.approx(curve.frequency_hz, rel=1e-11)
    assert again.magnitude_ohm == pytest.approx(curve.magnitude_ohm, rel=1e-11)
    assert again.phase_deg == pytest.approx(curve.phase_deg, rel=1e-11)
