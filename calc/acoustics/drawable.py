"""One way of a box as a source of the field: its levels, its balloon, its processing."""

import math

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.directivity.axis import axis_levels_db
from calc.acoustics.directivity.nominal import half_angles_deg, nominal_table
from calc.acoustics.directivity.piston import piston_table
from calc.acoustics.directivity.table import Table, table_of
from calc.acoustics.field.source import PointSource, axes_of
from calc.constants import VOLT_OF_SENSITIVITY
from calc.system import DriveLine, LineResponse, LoudspeakerSheet, Placement, Way

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


def missing_for_map(way: Way) -> str:
    """Which figure keeps a way out of the map; "" when it can be drawn."""
    needed = {"lowest frequency": way.low_hz, "highest frequency": way.high_hz}
    if way.axis_response is None:
        needed["sensitivity"] = way.sensitivity_db
    if way.balloon is None and not way.piston_diameter_m.known:
        needed["horizontal coverage angle"] = way.coverage_h_deg
        needed["vertical coverage angle"] = way.coverage_v_deg
    if way.sensitivity_basis == "1 W":
        needed["rated impedance"] = way.rated_impedance_ohm
    return next((name for name, figure in needed.items() if not figure.known), "")


def way_table(sheet: LoudspeakerSheet, way: Way, speed_m_s: float) -> Table:
    """The way's directivity: its balloon, else its piston, else its nominal angles."""
    if way.balloon is not None:
        return table_of(way.balloon)
    if way.piston_diameter_m.value is not None:
        return piston_table(way.piston_diameter_m.value, speed_m_s)
    across, up = way.coverage_h_deg.value, way.coverage_v_deg.value
    assert across is not None and up is not None
    hz = bands.mid_bands_hz()
    return nominal_table(
        half_angles_deg(across, sheet.width_m.value, hz, speed_m_s),
        half_angles_deg(up, sheet.height_m.value, hz, speed_m_s),
    )


def band_levels_db(way: Way, volts: float, response: LineResponse | None = None) -> Floats:
    """Pink noise at 1 m on the axis per computed band, shape (30,); -inf outside of the way.

    The noise has `volts` rms in all at the box, over the third-octave bands of the way: evenly,
    or shaped by the processor's filters where they are known. The level for 1 W in the rated
    impedance or for 2.83 V is the response on the axis, or the sensitivity alike in all bands.
    """
    low, high = way.low_hz.value, way.high_hz.value
    assert low is not None and high is not None
    reference = VOLT_OF_SENSITIVITY
    if way.sensitivity_basis == "1 W":
        assert way.rated_impedance_ohm.value is not None
        reference = math.sqrt(way.rated_impedance_ohm.value)
    numbers = np.arange(bands.number_of(low), bands.number_of(high) + 1)
    middles = 1000 * 10 ** (numbers / 10)
    power = 10 ** (filter_db(middles, response) / 10)
    driven = 10 * np.log10(np.maximum(power / power.sum(), 1e-30))
    driven += 20 * math.log10(volts / reference)
    inside = (numbers >= bands.LOWEST) & (numbers <= bands.HIGHEST)
    levels = np.full(len(bands.band_numbers()), -np.inf)
    levels[numbers[inside] - bands.LOWEST] = driven[inside]
    if way.axis_response is not None:
        return levels + axis_levels_db(way.axis_response)
    assert way.sensitivity_db.value is not None
    return levels + way.sensitivity_db.value


def filter_db(hz: Floats, response: LineResponse | None) -> Floats:
    """What the processor's filters do to the level at some frequencies."""
    if response is None:
        return np.zeros(len(hz))
    have = np.log(np.array(response.frequency_hz))
    level: Floats = np.interp(np.log(hz), have, np.array(response.level_db))
    return level


def filter_turn(hz: Floats, line: DriveLine) -> Complex:
    """Phase of the processor's filters and polarity, magnitude 1, at some frequencies."""
    sign = -1.0 if line.inverted else 1.0
    if line.response is None or not line.response.phase_deg:
        return np.full(len(hz), sign, dtype=np.complex128)
    phase = np.unwrap(np.radians(np.array(line.response.phase_deg)))
    at = np.interp(np.log(hz), np.log(np.array(line.response.frequency_hz)), phase)
    return sign * np.exp(1j * at)


def group_of(placement: Placement, way: Way, line: DriveLine) -> str:
    """What adds in phase with this way.

    The placement's group; else the box itself where the filters between its ways are known.
    Without filters the ways of a box are kept apart, as their phase at the crossover is a guess.
    """
    if placement.group:
        return f"group {placement.group}"
    known = line.response is not None and line.response.phase_deg
    return f"box {placement.name}" if known else f"box {placement.name}, {way.name}"


def source_of(
    placement: Placement, way: Way, table: Table, volts: float, line: DriveLine
) -> PointSource:
    """A way of a placement as a source; every figure that `missing_for_map` names is known."""
    levels = band_levels_db(way, volts, line.response)
    lines = bands.lines_of(bands.band_numbers())
    per_line = np.repeat(10 ** (levels / 20) / math.sqrt(bands.LINES_PER_BAND), 3)
    return PointSource(
        position_m=(placement.x_m, placement.y_m, placement.z_m),
        axes=axes_of(placement.azimuth_deg, placement.tilt_deg, placement.roll_deg),
        table=table,
        gain=per_line * filter_turn(lines, line),
        delay_s=line.delay_ms / 1000,
        group=group_of(placement, way, line),
    )
