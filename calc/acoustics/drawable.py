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
from calc.signals.outputs import Played
from calc.system import LoudspeakerSheet, Placement, Way

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

PLAIN = Played()
"""An output that does nothing."""


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


def line_levels(way: Way, volts: float, played: Played = PLAIN) -> Floats:
    """Pressure of pink noise at 1 m on the axis in each line, in 20 uPa, shape (90,).

    0 outside of the way. The noise has `volts` rms in all at the box, over the third-octave bands
    of the way: evenly, or shaped by the processor's filters where they are known. The level for
    1 W in the rated impedance or for 2.83 V is the response on the axis, or the sensitivity alike
    in all bands.
    """
    low, high = way.low_hz.value, way.high_hz.value
    assert low is not None and high is not None
    reference = VOLT_OF_SENSITIVITY
    if way.sensitivity_basis == "1 W":
        assert way.rated_impedance_ohm.value is not None
        reference = math.sqrt(way.rated_impedance_ohm.value)
    numbers = np.arange(bands.number_of(low), bands.number_of(high) + 1)
    power = filter_power(range(numbers[0], numbers[-1] + 1), played)
    driven = power / max(float(power.sum()), 1e-30) * (volts / reference) ** 2
    inside = (numbers >= bands.LOWEST) & (numbers <= bands.HIGHEST)
    energy = np.zeros((len(bands.band_numbers()), bands.LINES_PER_BAND))
    energy[numbers[inside] - bands.LOWEST] = driven[inside]
    levels: Floats = np.sqrt(energy * sensitivity_energy(way)[:, None]).ravel()
    return levels


def sensitivity_energy(way: Way) -> Floats:
    """The response on the axis, or the sensitivity, as energy in every band, (30,)."""
    if way.axis_response is not None:
        return 10 ** (axis_levels_db(way.axis_response) / 10)
    assert way.sensitivity_db.value is not None
    return np.full(len(bands.band_numbers()), 10 ** (way.sensitivity_db.value / 10))


def filter_power(numbers: range, played: Played) -> Floats:
    """By how much the filters raise the power in the lines of bands, (bands, 3)."""
    hz = bands.lines_of(numbers)
    power: Floats = np.abs(played.response(hz)) ** 2
    return power.reshape(-1, bands.LINES_PER_BAND)


def phase_turn(hz: Floats, way: Way, played: Played) -> Complex:
    """Phase of filters, polarity and, where it was measured, of the way itself, magnitude 1."""
    filters = played.response(hz)
    size = np.abs(filters)
    turn: Complex = np.where(size > 1e-15, filters / np.maximum(size, 1e-15), 1.0)
    axis = way.axis_response
    if axis is None or not axis.phase_deg:
        return turn
    have = np.log(np.array(axis.frequency_hz))
    phase = np.interp(np.log(hz), have, np.unwrap(np.radians(np.array(axis.phase_deg))))
    turned: Complex = turn * np.exp(1j * phase)
    return turned


def group_of(placement: Placement, way: Way, played: Played) -> str:
    """What adds in phase with this way.

    The placement's group; else the box itself where the filters between its ways are known.
    Without filters the ways of a box are kept apart, as their phase at the crossover is a guess.
    """
    if placement.group:
        return f"group {placement.group}"
    known = played.filters_known
    return f"box {placement.name}" if known else f"box {placement.name}, {way.name}"


def source_of(
    placement: Placement, way: Way, table: Table, volts: float, played: Played = PLAIN
) -> PointSource:
    """A way of a placement as a source; every figure that `missing_for_map` names is known."""
    lines = bands.lines_of(bands.band_numbers())
    return PointSource(
        position_m=(placement.x_m, placement.y_m, placement.z_m),
        axes=axes_of(placement.azimuth_deg, placement.tilt_deg, placement.roll_deg),
        table=table,
        gain=line_levels(way, volts, played) * phase_turn(lines, way, played),
        delay_s=played.delay_ms / 1000,
        group=group_of(placement, way, played),
    )
