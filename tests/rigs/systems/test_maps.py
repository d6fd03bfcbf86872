"""The coverage map, against fields whose contours are known."""

import dataclasses
import math
from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest

from calc.prediction import AreaResult
from calc.system import AudienceArea, ListeningPlace, Placement, SystemDescription
from rigs.systems.pictures.maps import (
    AreaValues,
    Marks,
    Scale,
    contours,
    coverage_maps,
    side_picture,
    themed,
    value_maps,
)

SVG = "{http://www.w3.org/2000/svg}"


def circles(centre: tuple[float, float], x: np.ndarray, y: np.ndarray) -> list[list[float]]:
    """A point source: 100 dB at 1 m, 6.02 dB less for each doubling (inverse square law)."""
    return [
        [100 - 20 * math.log10(max(math.hypot(a - centre[0], b - centre[1]), 0.1)) for a in x]
        for b in y
    ]


def result(area: AudienceArea, levels: list[list[float | None]], x, y) -> AreaResult:
    flat = [value for row in levels for value in row if value is not None]
    mean = sum(flat) / len(flat)
    return AreaResult(
        name=area.name, x_m=tuple(x), y_m=tuple(y), level_a_db=(), level_z_db=(),
        level_mid_db=tuple(map(tuple, levels)), mean_a_db=mean, loudest_a_db=max(flat),
        loudest_at_m=(0, 0), quietest_a_db=min(flat), quietest_at_m=(0, 0), mean_mid_db=mean,
        spread_mid_db=max(flat) - min(flat), share_within_3_db=0.5, bands_hz=(),
        mean_spectrum_db=(),
    )  # fmt: skip


def floor(name: str = "Floor", left: float = -10, bottom: float = 2) -> AudienceArea:
    corners = [(left, bottom), (left + 20, bottom), (left + 20, bottom + 20), (left, bottom + 20)]
    return AudienceArea(name, tuple(corners), 0.0, 1.6)


def drawn(*areas: AudienceArea, boxes: tuple[Placement, ...] = ()) -> list:
    results = []
    for area in areas:
        x = np.arange(area.corners[0][0] + 0.5, area.corners[1][0], 1.0)
        y = np.arange(area.corners[0][1] + 0.5, area.corners[2][1], 1.0)
        results.append(result(area, circles((0, 0), x, y), x, y))
    return coverage_maps(SystemDescription("x", areas=areas, placements=boxes), results)


def texts(svg: str) -> list[str]:
    return [e.text or "" for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_a_contour_of_a_point_source_is_its_circle():
    x = y = np.arange(-20.0, 21.0)
    field = contours.field_of(x.tolist(), y.tolist(), circles((0, 0), x, y))
    line = max(field.lines(80.0), key=len)  # 20 dB down: 10 m away
    assert np.hypot(line[:, 0], line[:, 1]) == pytest.approx(10.0, abs=0.05)


def test_where_a_level_is_reached_has_the_area_of_the_circle():
    x = y = np.arange(-20.0, 21.0)
    field = contours.field_of(x.tolist(), y.tolist(), circles((0, 0), x, y))
    (rings,) = field.at_least(80.0)
    (ring,) = rings
    area = 0.5 * abs(np.sum(ring[:-1, 0] * ring[1:, 1] - ring[1:, 0] * ring[:-1, 1]))
    assert area == pytest.approx(math.pi * 100, rel=0.01)


def test_gaps_take_their_neighbours_level():
    levels = [[90.0, None, None], [90.0, 90.0, None], [None, None, None]]
    field = contours.field_of([0, 1, 2], [0, 1, 2], levels)
    assert field.z.shape == (5, 5) and np.all(field.z == 90.0)
    assert (field.x[0], field.x[-1]) == (-1, 3)


def test_bands_are_multiples_of_three_and_few():
    assert contours.band_edges(91.2, 99.0) == [90, 93, 96, 99]
    wide = contours.band_edges(0.0, 110.0)
    assert len(wide) == contours.MOST_BANDS and wide[-1] == 108


def test_simplifying_stays_within_its_tolerance():
    turn = np.linspace(0, math.pi, 400)
    arc = np.column_stack([100 * np.cos(turn), 100 * np.sin(turn)])
    kept = contours.simplified(arc, 0.4)
    assert len(kept) < 60
    middle = (kept[:-1] + kept[1:]) / 2
    assert np.all(100 - np.hypot(middle[:, 0], middle[:, 1]) <= 0.41)


def test_the_even_odd_rule_on_a_shape_that_is_not_convex():
    corners = [(0, 0), (4, 0), (4, 4), (2, 1), (0, 4)]
    spots = np.array([(2.0, 0.5), (2.0, 2.0), (0.5, 2.0), (3.5, 2.0), (5.0, 1.0)])
    assert contours.inside(corners, spots).tolist() == [True, False, True, True, False]


def test_the_map_says_in_words_what_it_shows():
    (picture,) = drawn(floor())
    root = ElementTree.fromstring(picture.svg)
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text == picture.title
    assert "every 3 dB" in root.find(f"{SVG}desc").text
    assert {"stage side", "5 m"} <= set(texts(picture.svg))


def test_contours_carry_their_level():
    (picture,) = drawn(floor())
    # From 2.5 m (92 dB) to about 22 m (73 dB) off a source of 100 dB at 1 m.
    labels = {int(t) for t in texts(picture.svg) if t.isdigit()}
    assert labels <= {75, 78, 81, 84, 87, 90} and len(labels) >= 4


def test_areas_above_each_other_get_a_map_each():
    assert len(drawn(floor(), floor("Balcony", bottom=12))) == 2
    assert len(drawn(floor(), floor("Terrace", left=12))) == 1


def test_a_box_far_off_does_not_shrink_the_plan():
    far = Placement("Far", "sheet", 900.0, 900.0, 2.0, 0.0, 0.0)
    near = Placement("Near", "sheet", 0.0, 0.0, 2.0, 0.0, 0.0)
    (picture,) = drawn(floor(), boxes=(far, near))
    assert picture.svg.count("<rect") == 1
    assert "5 m" in texts(picture.svg)


def test_a_stack_is_drawn_once():
    stack = tuple(Placement(f"Box {n}", "sheet", 1.0, 0.0, n, 10.0, 0.0) for n in range(4))
    assert drawn(floor(), boxes=stack)[0].svg.count("<rect") == 1


def test_hostile_names_stay_text():
    (picture,) = drawn(floor("<script>"), floor('"&x', left=12))
    names = texts(picture.svg)
    assert "<script>" in names and '"&x' in names


def test_maps_stay_small():
    (picture,) = drawn(floor())
    assert len(picture.svg) < 12_000


def test_the_page_variant_only_adds_a_style():
    (picture,) = drawn(floor())
    assert ElementTree.fromstring(themed(picture.svg)).find(f"{SVG}style") is not None
    assert "style" not in picture.svg


def spread_of(svg: str) -> list[tuple[float, float, float, float, str]]:
    """Roughly what each text of a drawing covers."""
    found = []
    for each in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        x, y, words = float(each.get("x")), float(each.get("y")), each.text or ""
        wide = 14 * 0.5 * len(words)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[each.get("text-anchor")]
        found.append((left, y - 11, left + wide, y + 3, words))
    return found


def overlaps(svg: str) -> list[tuple[str, str]]:
    return [
        (a[4], b[4])
        for a, b in combinations(spread_of(svg), 2)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


def test_no_words_lie_on_other_words():
    """Two areas whose contours run through their corners, places close to each other."""
    areas = [floor("Front of the floor"), floor("Terrace", left=12)]
    shown = []
    for area in areas:
        x = np.arange(area.corners[0][0] + 0.5, area.corners[1][0], 1.0)
        y = np.arange(area.corners[0][1] + 0.5, area.corners[2][1], 1.0)
        shown.append(AreaValues(area, x.tolist(), y.tolist(), circles((10, 30), x, y)))
    places = [ListeningPlace("Front row, middle", 0, 4, 1.6), ListeningPlace("Pit", 0, 3, 1.6)]
    marks = Marks(places=places, seat=(0.5, 5.0), fallen=(0, 21.5))
    (picture,) = value_maps((), shown, Scale("Level", "A-weighted"), marks)
    assert overlaps(picture.svg) == []
    assert {"Terrace", "Pit", "seat", "6 dB fallen"} <= set(texts(picture.svg))


def raised() -> AudienceArea:
    return dataclasses.replace(floor("Balcony", bottom=25), floor_z_m=4.0, rake_deg=20.0)


def test_a_flat_audience_needs_no_section():
    system = SystemDescription("x", areas=(floor(), floor("Rear", bottom=22)))
    assert side_picture(system) is None
    assert side_picture(SystemDescription("x")) is None


def test_the_section_shows_floors_ears_boxes_and_their_heights():
    box = Placement("Top left", "sheet", -3.0, 0.0, 6.5, 0.0, -10.0)
    picture = side_picture(SystemDescription("x", areas=(floor(), raised()), placements=(box,)))
    assert picture is not None
    assert {"Floor", "Balcony", "6.5 m", "stage at the left"} <= set(texts(picture.svg))
    # 20 m deep, 20 degrees: 7.28 m higher at the back (MATH).
    assert "Balcony: floor from 4.0 to 11.3 m, ears 1.6 m above it" in picture.text
    assert overlaps(picture.svg) == []


def test_an_aim_ends_at_the_ears_it_meets():
    """From 6.6 m down by 45 degrees to ears at 1.6 m: 5 m along, 5 m down (MATH)."""
    box = Placement("Top", "sheet", 0.0, 0.0, 6.6, 0.0, -45.0)
    picture = side_picture(SystemDescription("x", areas=(floor(), raised()), placements=(box,)))
    root = ElementTree.fromstring(picture.svg)
    aim = next(e for e in root.iter(f"{SVG}path") if e.get("stroke-dasharray") == "4 3")
    (x1, y1), (x2, y2) = (map(float, each.split()) for each in aim.get("d")[1:].split("L"))
    bar = next(e for e in root.iter(f"{SVG}path") if e.get("stroke-width") == "1.5")
    unit = float(bar.get("d").split("h")[1].split("v")[0])  # the scale bar
    metres = next(float(t.removesuffix(" m")) for t in texts(picture.svg) if t == "10 m")
    assert (x2 - x1) * metres / unit == pytest.approx(5, abs=0.1)
    assert (y2 - y1) * metres / unit == pytest.approx(5, abs=0.1)


def test_a_balcony_beside_the_middle_is_cut_where_it_lies():
    aside = dataclasses.replace(
        raised(), corners=((8.0, 2.0), (12.0, 2.0), (12.0, 9.0), (8.0, 9.0))
    )
    picture = side_picture(SystemDescription("x", areas=(floor(left=-30), aside)))
    assert "at x 10 m" in picture.title and "Balcony" in texts(picture.svg)
