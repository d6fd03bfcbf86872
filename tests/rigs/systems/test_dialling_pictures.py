"""Drawings of processing: told in words, told apart without colour, true to their axes."""

import math
import re
from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest

from calc.prediction import AlignmentResult, CrossoverResult
from calc.signals.arrays import array_plan
from calc.system import Placement
from rigs.systems.pictures.arrays import around_picture, array_plan_picture
from rigs.systems.pictures.frequency import Paper, wrapped
from rigs.systems.pictures.processing import (
    between_picture,
    filter_phase_picture,
    filters_picture,
    sides_picture,
    ways_phase_picture,
    ways_picture,
)

HZ = tuple(np.geomspace(20, 20_000, 121).tolist())
NARROW = 340.0
SVG = "{http://www.w3.org/2000/svg}"


def flat(value: float) -> tuple[float, ...]:
    return (value,) * len(HZ)


def crossover(**changes: object) -> CrossoverResult:
    fields: dict = {
        "subject": "Top <left>",
        "also": (),
        "spot": "",
        "lower": "woofer",
        "upper": "horn",
        "kind": "Linkwitz-Riley 24 dB/octave",
        "crossover_hz": 1000.0,
        "needed_inverted": False,
        "is_inverted": False,
        "phase_deg": 3.0,
        "sum_db": 6.0,
        "worst_dip_db": -0.2,
        "basis": "measured",
        "frequency_hz": HZ,
        "lower_db": tuple(100 - max(0, 24 * math.log2(hz / 1000)) for hz in HZ),
        "upper_db": tuple(100 - max(0, 24 * math.log2(1000 / hz)) for hz in HZ),
        "sum_db_curve": flat(103.0),
        "lower_phase_deg": flat(-30.0),
        "upper_phase_deg": tuple(-hz for hz in HZ),
        "group_delay_ms": flat(0.0),
    }
    return CrossoverResult(**fields | changes)


def alignment(**changes: object) -> AlignmentResult:
    fields: dict = {
        "name": "Subs to tops",
        "kind": "sub to top",
        "spot": "Mix",
        "moved": ("Subs",),
        "reference": ("Tops",),
        "moved_arrival_ms": 20.0,
        "reference_arrival_ms": 27.3,
        "delay_ms": 7.3,
        "add_ms": 7.3,
        "invert": False,
        "overlap_hz": (70.0, 130.0),
        "worst_phase_deg": 170.0,
        "best_worst_phase_deg": 20.0,
        "sum_db": -4.0,
        "best_sum_db": 5.4,
        "as_inversion": "",
        "drift_ms": 0.4,
        "set_temperature_c": 12.0,
        "show_temperature_c": 24.0,
        "measured": False,
        "frequency_hz": HZ,
        "phase_deg": tuple(-360 * hz * 0.0073 for hz in HZ),
        "best_phase_deg": flat(10.0),
        "moved_db": flat(100.0),
        "reference_db": flat(98.0),
        "sum_db_curve": flat(95.0),
        "best_sum_db_curve": flat(104.0),
    }
    return AlignmentResult(**fields | changes)


def drawings(width: float) -> list[str]:
    return [
        ways_picture(crossover(), width),
        ways_phase_picture(crossover(), width),
        between_picture(alignment(), width),
        sides_picture(alignment(), width),
        filters_picture("Processor A, output 1", HZ, flat(-3.0), width),
        filter_phase_picture("Processor A, output 1", HZ, flat(90.0), width),
    ]


@pytest.mark.parametrize("width", [600.0, NARROW])
def test_every_drawing_is_well_formed_told_in_words_and_without_styles(width):
    for text in drawings(width):
        root = ElementTree.fromstring(text)
        assert root.get("role") == "img"
        assert root.find(f"{SVG}title").text
        assert len(root.find(f"{SVG}desc").text) > 20
        assert float(root.get("width")) == width
        assert "style=" not in text
        assert "<left>" not in text


@pytest.mark.parametrize("width", [600.0, NARROW])
def test_nothing_is_drawn_beyond_the_paper(width):
    for text in drawings(width):
        for line in ElementTree.fromstring(text).iter(f"{SVG}polyline"):
            for point in line.get("points").split():
                x, _ = map(float, point.split(","))
                assert 0 <= x <= width


def dashes(text: str) -> set[str | None]:
    lines = ElementTree.fromstring(text).iter(f"{SVG}polyline")
    return {line.get("stroke-dasharray") for line in lines if line.get("class") == "curve"}


def test_lines_are_told_apart_by_their_dashes():
    assert len(dashes(ways_picture(crossover()))) == 3
    assert len(dashes(between_picture(alignment()))) == 2
    assert len(dashes(sides_picture(alignment()))) == 4


def test_the_band_in_which_sides_run_together_lies_between_its_phases():
    root = ElementTree.fromstring(between_picture(alignment()))
    band = next(p for p in root.iter(f"{SVG}polygon") if p.get("class") == "together")
    edges = {float(point.split(",")[1]) for point in band.get("points").split()}
    rules = [p for p in root.iter(f"{SVG}polyline") if p.get("class") == "rule"]
    heights = sorted(float(p.get("points").split(",")[1].split()[0]) for p in rules)
    top, bottom = heights[0], heights[-1]
    middle = (top + bottom) / 2
    sixty = (bottom - top) / 6
    assert sorted(edges) == pytest.approx([middle - sixty, middle + sixty], abs=0.2)
    assert "within ±60°" in between_picture(alignment())


def test_the_crossover_is_marked_with_its_frequency():
    assert ">1 kHz<" in ways_picture(crossover())
    assert ">1 kHz<" not in ways_picture(crossover(crossover_hz=None))


def test_a_turning_phase_never_crosses_the_paper():
    text = between_picture(alignment())
    paper_height = 600 * 0.42
    for points in re.findall(r'class="curve" points="([^"]+)"', text):
        heights = [float(point.split(",")[1]) for point in points.split()]
        steps = [abs(b - a) for a, b in pairwise(heights)]
        assert max(steps) < paper_height / 2


@pytest.mark.parametrize(("angle", "held"), [(190, -170), (-190, 170), (540, -180), (0, 0)])
def test_phases_are_held_within_half_a_turn(angle, held):
    assert wrapped(angle) == held


def test_equal_ratios_of_frequency_are_equally_far_apart():
    paper = Paper(600.0, 20, 20_000, -40, 10)
    octaves = [paper.x(hz) for hz in (125, 250, 500, 1000)]
    gaps = np.diff(octaves)
    assert np.allclose(gaps, gaps[0])
    assert paper.y(10) == paper.top
    assert paper.y(-40) == pytest.approx(paper.bottom)
    assert paper.y(-90) == pytest.approx(paper.bottom)


def test_an_array_is_drawn_with_delays_and_polarity_and_loud_towards_the_audience():
    boxes = [Placement(f"Sub {n}", "Sub", 0, -0.85 * n, 0.5, 0, 0) for n in range(2)]
    plan = array_plan(boxes, "gradient", 80.0, bands_hz=(80.0,))
    drawn = array_plan_picture(plan)
    ElementTree.fromstring(drawn)
    assert "Sub 1" in drawn and "inverted" in drawn
    around = ElementTree.fromstring(around_picture(plan, plan.polars[0]))
    shape = next(p for p in around.iter(f"{SVG}polygon") if p.get("class") == "loud")
    points = [tuple(map(float, point.split(","))) for point in shape.get("points").split()]
    ahead, behind = (points[plan.angles_deg.index(angle)] for angle in (0.0, 180.0))
    assert min(y for _, y in points) == ahead[1]
    middle = (150.0, 158.0)
    assert math.dist(ahead, middle) > 10 * math.dist(behind, middle)
