"""The drawing of an impedance curve."""

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigs.catalogue.impedance import Curve
from rigs.catalogue.pictures import Level, impedance_picture

SVG = "{http://www.w3.org/2000/svg}"
CURVE = Curve((20, 40, 200, 2000, 20000), (12, 48, 6.4, 20, 30), (40, 0, -5, 30, 50))
LEVELS = (Level("rated", "rated impedance", 8), Level("min.", "stated minimum", 6.6))


def drawn(curve=CURVE, levels=LEVELS, **more):
    return ElementTree.fromstring(
        impedance_picture("Impedance of <Box> & co", curve, levels, **more)
    )


def line(root, css):
    (found,) = [part for part in root.iter(f"{SVG}polyline") if part.get("class") == css]
    return [tuple(map(float, point.split(","))) for point in found.get("points").split()]


def words(root, css=""):
    return [t.text for t in root.iter(f"{SVG}text") if not css or t.get("class") == css]


def test_it_is_named_and_described_in_words():
    root = drawn()
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text == "Impedance of <Box> & co"
    said = root.find(f"{SVG}desc").text
    assert "5 points from 20 to 20000 Hz" in said
    assert "least impedance 6.4 ohm at 200 Hz" in said
    assert "stated minimum 6.6 ohm marked" in said
    assert "phase from -5 to 50 degrees" in said
    assert not any("style" in part.attrib for part in root.iter())


def test_equal_ratios_of_frequency_and_impedance_are_equal_steps():
    """20 to 200, 200 to 2000, 2000 to 20000 Hz are decades."""
    points = line(drawn(), "curve")
    x = [point[0] for point in points]
    assert x[2] - x[0] == pytest.approx(x[3] - x[2], abs=0.2)
    assert x[3] - x[2] == pytest.approx(x[4] - x[3], abs=0.2)
    root = drawn(Curve((100, 200, 400), (4, 8, 16)))
    y = [point[1] for point in line(root, "curve")]
    assert y[0] - y[1] == pytest.approx(y[1] - y[2], abs=0.2)


def test_the_least_is_marked_with_its_frequency_within_the_band():
    (mark,) = drawn().iter(f"{SVG}circle")
    assert (float(mark.get("cx")), float(mark.get("cy"))) == pytest.approx(
        line(drawn(), "curve")[2], abs=0.11
    )
    assert words(drawn(), "least") == ["6.4 ohm at 200 Hz"]
    assert words(drawn(band=(2000, None)), "least") == ["20 ohm at 2000 Hz"]


def test_rated_and_minimum_are_marked_on_their_height():
    root = drawn(Curve((100, 1000), (8, 6.6)))
    heights = {
        part.get("points").split()[0].split(",")[1]
        for part in root.iter(f"{SVG}polyline")
        if part.get("class") == "level"
    }
    assert heights == {f"{y:.1f}" for _, y in line(root, "curve")}
    assert set(words(root, "level-name")) == {"rated 8", "min. 6.6"}


def test_phase_is_drawn_only_where_it_is_known():
    assert "phase in degrees" in words(drawn())
    bare = drawn(Curve(CURVE.frequency_hz, CURVE.magnitude_ohm))
    assert "phase in degrees" not in words(bare)
    height = [float(root.get("viewBox").split()[3]) for root in (drawn(), bare)]
    assert height[0] > height[1]


curves = st.lists(
    st.tuples(st.floats(1, 1e5), st.floats(0.1, 1e4), st.floats(-90, 90)),
    min_size=2, max_size=20, unique_by=lambda point: point[0],
).map(lambda rows: Curve(*zip(*sorted(rows), strict=True)))  # fmt: skip


@given(curves, st.floats(0.1, 1e4), st.sampled_from([340, 680]))
def test_every_curve_stays_on_its_sheet(curve, ohm, width):
    root = drawn(curve, [Level("rated", "rated impedance", ohm)], width=width)
    right, low = (float(v) for v in root.get("viewBox").split()[2:])
    for css in ("curve", "phase", "level"):
        assert all(0 <= x <= right and 0 <= y <= low for x, y in line(root, css))
    assert words(root, "tick")
