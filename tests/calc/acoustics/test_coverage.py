"""Levels over an area."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.acoustics.bands import MIDS
from calc.acoustics.coverage import area_grid, area_result
from calc.acoustics.drawable import line_levels, missing_for_map, source_of, way_table
from calc.acoustics.field.energy import band_energy
from calc.acoustics.field.source import PointSource
from calc.figure import UNKNOWN
from calc.prediction import AreaResult
from calc.signals.outputs import Played
from calc.system import AxisResponse, Filter, Surroundings
from tests.calc.builders import (
    area,
    known,
    loudspeaker,
    output,
    placement,
    way,
)

AIR = Surroundings()
ROUND = {"coverage_h_deg": known(360), "coverage_v_deg": known(360)}
ONE_KHZ = 16


def source(box=None, volts=20.0, **changes) -> PointSource:
    sheet = loudspeaker(ways=(way(**changes),))
    table = way_table(sheet, sheet.ways[0], 343.2)
    return source_of(box or placement(), sheet.ways[0], table, volts)


def result_of(place, sources, spacing: float = 1.0, below: float = 0.0) -> AreaResult | None:
    grid = area_grid(place, spacing)
    energy = band_energy(sources, grid.points, AIR, below)
    return area_result(grid, energy) if len(grid.points) else None


def flat(level: float, number: int = 0) -> PointSource:
    """One band at 1 kHz, all round, of a given level at 1 m."""
    base = source(placement(f"Box {number}", z_m=0.0), **ROUND)
    gain = np.zeros(90, dtype=complex)
    gain[48:51] = 10 ** (level / 20) / math.sqrt(3)
    return dataclasses.replace(base, gain=gain)


def level_at_1_khz(sources, *point: float) -> float:
    return 10 * math.log10(band_energy(sources, np.array([point]), AIR, 150.0)[0, ONE_KHZ])


def test_sensitivity_basis() -> None:
    """97 dB at 2.83 V of a 4 ohm box are 94 dB at 1 W (2 V): 2.83 V are 2.0022 W (MATH)."""
    box = way(impedance=4, sensitivity=97, sensitivity_basis="2.83 V")
    at_one_watt = 10 * np.log10((line_levels(box, 2.0) ** 2).sum())
    assert at_one_watt == pytest.approx(97 - 3.015, abs=2e-3)
    by_power = way(impedance=4, sensitivity=97, sensitivity_basis="1 W")
    total = 10 * np.log10((line_levels(by_power, 2.0) ** 2).sum())
    assert total == pytest.approx(97)


def test_a_band_outside_of_the_map_keeps_its_share_of_the_power() -> None:
    """16 to 50 Hz are six thirds, two of them below 25 Hz: 1.76 dB stay out (MATH)."""
    sub = way(low_hz=known(16), high_hz=known(50), sensitivity=100)
    inside = 10 * np.log10((line_levels(sub, math.sqrt(8)) ** 2).sum())
    assert inside == pytest.approx(100 + 10 * math.log10(4 / 6))


@pytest.mark.parametrize(("levels", "total"), [([85, 85], 88.010), ([80, 83, 90], 91.138)])
def test_energy_sum(levels, total) -> None:
    """85 + 85 = 88.010; 80 + 83 + 90 = 91.138 dB (MATH)."""
    sources = [flat(level, number) for number, level in enumerate(levels)]
    alone = level_at_1_khz([flat(0.0)], 0, 7, 0)
    assert level_at_1_khz(sources, 0, 7, 0) - alone == pytest.approx(total, abs=1e-3)


def test_distance_and_air() -> None:
    """Twice as far is 6.02 dB less, and the air takes 4.665 dB/km at 1 kHz, 20 degC, 50 %."""
    near, far = (level_at_1_khz([flat(100.0)], 0, y, 0) for y in (50, 100))
    assert near - far == pytest.approx(6.0206 + 0.05 * 4.665, abs=1e-3)


def test_unknown_figures_keep_a_box_out() -> None:
    assert missing_for_map(way()) == ""
    assert "coverage" in missing_for_map(way(coverage_v_deg=UNKNOWN))
    assert "sensitivity" in missing_for_map(way(sensitivity=None))
    assert "impedance" in missing_for_map(way(impedance=None))
    assert missing_for_map(way(impedance=None, sensitivity_basis="2.83 V")) == ""


def test_figures_of_an_area_are_those_of_its_points() -> None:
    result = result_of(area(), [source()])
    assert result is not None
    a = np.array(result.level_a_db, dtype=float)
    mid = np.array(result.level_mid_db, dtype=float)
    assert a.shape == (len(result.y_m), len(result.x_m)) == (12, 10)
    assert result.loudest_a_db == a.max() and result.quietest_a_db == a.min()
    column, row = result.x_m.index(result.loudest_at_m[0]), result.y_m.index(result.loudest_at_m[1])
    assert a[row, column] == a.max()
    assert result.spread_mid_db == pytest.approx(np.ptp(mid))
    assert result.quietest_a_db < result.mean_a_db < result.loudest_a_db
    near = [abs(level - result.mean_mid_db) <= 3 for level in mid.ravel()]
    assert result.share_within_3_db == pytest.approx(sum(near) / 120)
    assert 0.2 < result.share_within_3_db < 0.95
    assert result.mean_mid_db == pytest.approx(sum(mid.ravel()) / 120)
    spectrum = np.array(result.mean_spectrum_db)
    assert spectrum[:5] == pytest.approx([0] * 5)  # the box starts at 80 Hz
    assert spectrum[MIDS].min() > 60
    z = np.array(result.level_z_db, dtype=float)
    assert (z > a).all() and (z > mid).all()


def test_points_outside_of_the_polygon_are_none() -> None:
    triangle = area(corners=((0.0, 2.0), (8.0, 2.0), (0.0, 10.0)))
    result = result_of(triangle, [source()])
    assert result is not None
    assert result.level_a_db[-1][-1] is None and result.level_a_db[0][0] is not None


def test_an_area_between_the_grid_points_has_no_figures() -> None:
    thin = area(corners=((0.0, 0.0), (9.0, 0.0), (9.0, 0.1), (0.1, 0.1), (0.1, 9.0), (0.0, 9.0)))
    assert result_of(thin, [source()], 10.0) is None


boxes = st.lists(
    st.builds(
        lambda x, y, z, azimuth, tilt: placement(
            x_m=x, y_m=y, z_m=z, azimuth_deg=azimuth, tilt_deg=tilt
        ),
        st.floats(-10, 10), st.floats(-3, 3), st.floats(0.5, 6), st.floats(-180, 180),
        st.floats(-60, 20),
    ),
    min_size=1, max_size=4,
)  # fmt: skip


def map_of(placements, corners) -> np.ndarray:
    sources = [source(dataclasses.replace(p, name=str(i))) for i, p in enumerate(placements)]
    result = result_of(area(corners=corners), sources, 2.0)
    assert result is not None
    return np.array(result.level_a_db, dtype=float)


CORNERS = ((-7.0, 3.0), (5.0, 3.0), (9.0, 14.0), (-7.0, 14.0))


@settings(max_examples=25, deadline=None)
@given(boxes, st.floats(-50, 50), st.floats(-50, 50))
def test_moving_everything_changes_nothing(placements, right, ahead) -> None:
    moved = [dataclasses.replace(p, x_m=p.x_m + right, y_m=p.y_m + ahead) for p in placements]
    corners = tuple((x + right, y + ahead) for x, y in CORNERS)
    here, there = map_of(placements, CORNERS), map_of(moved, corners)
    both = ~np.isnan(here) & ~np.isnan(there)
    assert both.sum() > 0.9 * here.size / 2
    assert here[both] == pytest.approx(there[both], abs=2e-3)


@settings(max_examples=25, deadline=None)
@given(boxes)
def test_a_mirrored_rig_gives_a_mirrored_map(placements) -> None:
    mirrored = [dataclasses.replace(p, x_m=-p.x_m, azimuth_deg=-p.azimuth_deg) for p in placements]
    corners = tuple((-x, y) for x, y in CORNERS)
    assert map_of(mirrored, corners)[:, ::-1] == pytest.approx(
        map_of(placements, CORNERS), abs=2e-3, nan_ok=True
    )


@settings(max_examples=25, deadline=None)
@given(boxes, boxes)
def test_another_box_never_lowers_the_level(placements, more) -> None:
    """Energy sums only grow."""
    assert np.nanmin(map_of(placements + more, CORNERS) - map_of(placements, CORNERS)) >= -1e-4


def test_the_edge_of_the_coverage_is_6_db_down() -> None:
    """A 90 degree box at 8 kHz, 10 m away: straight ahead against 45 degrees aside."""
    box = source(placement(z_m=0.0, tilt_deg=0.0))
    side = 10 * math.sin(math.pi / 4)
    energy = band_energy([box], np.array([[0, 10, 0], [side, side, 0], [-side, side, 0]]), AIR, 0.0)
    ahead, right, left = 10 * np.log10(energy[:, 25])
    assert ahead - right == pytest.approx(6, abs=1e-3)
    assert left == pytest.approx(right, abs=1e-3)


def test_front_back_worst_and_bands() -> None:
    result = result_of(area(), [source()])
    assert result is not None
    mid = np.array(result.level_mid_db, dtype=float)
    assert result.front_to_back_db == pytest.approx(mid[0].mean() - mid[-1].mean())
    off = mid - mid.mean()
    assert result.worst_off_db == pytest.approx(off.ravel()[np.abs(off).argmax()])
    assert result.worst_at_m is not None
    column, row = (result.x_m.index(result.worst_at_m[0]), result.y_m.index(result.worst_at_m[1]))
    assert off[row, column] == pytest.approx(result.worst_off_db)
    assert len(result.band_mean_db) == len(result.band_spread_db) == len(result.bands_hz) == 30
    assert result.band_mean_db[ONE_KHZ] < result.mean_spectrum_db[ONE_KHZ]  # dB below energy mean
    assert min(result.band_share_within_3) >= 0 and max(result.band_share_within_3) <= 1
    assert result.present_a_db == () and result.mean_present_a_db is None


def test_the_response_on_the_axis_counts_before_the_sensitivity() -> None:
    """90 dB at 100 Hz rising to 100 dB at 1 kHz, half a decade is half of it."""
    shaped = way(
        low_hz=known(100),
        high_hz=known(10_000),
        sensitivity=None,
        axis_response=AxisResponse((100.0, 1000.0, 10_000.0), (90.0, 100.0, 100.0)),
    )
    assert missing_for_map(shaped) == ""
    levels = in_bands(line_levels(shaped, math.sqrt(8.0))) + 10 * math.log10(21)
    assert levels[[ONE_KHZ, 11]] == pytest.approx([99.5, 95.0], abs=0.6)
    assert np.isfinite(levels[6:27]).all() and not np.isfinite(levels[:6]).any()


def in_bands(levels) -> np.ndarray:
    with np.errstate(divide="ignore"):
        return 10 * np.log10((levels.reshape(-1, 3) ** 2).sum(axis=1))


def playing(**changes) -> Played:
    return Played(output(**changes))


def test_filters_shape_the_spectrum_and_keep_the_volts() -> None:
    """24 dB/octave below 1 kHz: the box still gets its volts, where it is let."""
    low_cut = Filter("high-pass", 1000.0, "Butterworth", 4)
    plain, cut = (line_levels(way(), 20.0, playing(filters=f)) for f in ((), (low_cut,)))
    assert (cut**2).sum() == pytest.approx((plain**2).sum())
    lines = 20 * np.log10(cut[cut > 0] / cut.max())
    octave = lines[14:24] - lines[5:15]  # nine lines are an octave
    assert octave[0] == pytest.approx(24, abs=0.5)
    at_corner = 20 * np.log10(cut[49] / cut[49 + 27])
    assert at_corner == pytest.approx(-3.01, abs=0.01)


def test_delay_polarity_and_filters_reach_the_sum() -> None:
    """Two equal boxes side by side in one group: in phase 6 dB more, one inverted none."""
    sheet = loudspeaker(ways=(way(**ROUND),))
    table = way_table(sheet, sheet.ways[0], 343.2)
    turned = (Filter("all-pass", 1000.0, order=2, q=0.3),)

    def pair(**changes) -> float:
        box = placement(z_m=0.0, group="stack")
        sources = [
            source_of(box, sheet.ways[0], table, 20.0),
            source_of(box, sheet.ways[0], table, 20.0, playing(**changes)),
        ]
        return level_at_1_khz(sources, 0, 10, 0) - level_at_1_khz(sources[:1], 0, 10, 0)

    assert pair() == pytest.approx(6.02, abs=1e-2)
    assert pair(inverted=True) < -40
    assert pair(filters=turned) < -20
    assert pair(filters=turned, inverted=True) == pytest.approx(6.02, abs=5e-2)
    assert pair(delay_ms=0.25) == pytest.approx(3.01, abs=0.3)  # a quarter turn at 1 kHz


def test_ways_of_a_box_add_in_phase_once_their_filters_are_known() -> None:
    """Two ways that overlap fully: energy while nothing is known, pressure when all is said."""
    sheet = loudspeaker(ways=(way(**ROUND),))
    table = way_table(sheet, sheet.ways[0], 343.2)
    box = placement(z_m=0.0)
    through = (Filter("all-pass", 90.0, order=1),)

    def both(*settings) -> float:
        ways = [dataclasses.replace(sheet.ways[0], name=name) for name in ("low", "high")]
        sources = [
            source_of(box, one, table, 20.0, played)
            for one, played in zip(ways, settings, strict=True)
        ]
        return level_at_1_khz(sources, 0, 10, 0) - level_at_1_khz(sources[:1], 0, 10, 0)

    known, bare = playing(filters=through), playing()
    assert both(known, known) == pytest.approx(6.02, abs=1e-2)
    assert both(known, bare) == both(bare, bare) == pytest.approx(3.01, abs=1e-2)
    against = playing(filters=through, inverted=True)
    assert both(known, against) < -40


def test_a_measured_phase_on_the_axis_turns_the_way() -> None:
    sheet = loudspeaker(ways=(way(**ROUND),))
    axis = AxisResponse((20.0, 20_000.0), (97.0, 97.0), (180.0, 180.0))
    table = way_table(sheet, sheet.ways[0], 343.2)
    plain = dataclasses.replace(axis, phase_deg=())
    ways = [dataclasses.replace(sheet.ways[0], axis_response=one) for one in (axis, plain)]
    box = placement(z_m=0.0, group="stack")
    sources = [source_of(box, one, table, 20.0) for one in ways]
    assert level_at_1_khz(sources, 0, 10, 0) < level_at_1_khz(sources[:1], 0, 10, 0) - 40
