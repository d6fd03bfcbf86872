"""One way of a box as a complex pressure: its level on the axis, its phase, its directivity."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.acoustics.directivity.table import AZIMUTHS, POLARS, STEP_DEG, Table
from calc.acoustics.drawable import way_table
from calc.acoustics.field.source import axes_of
from calc.constants import VOLT_OF_SENSITIVITY
from calc.signals.minimum_phase import minimum_phase_deg
from calc.system import AxisResponse, LoudspeakerSheet, Placement, Way

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Driver:
    """Pressure on the axis at 1 m for 1 V, in 20 uPa, (frequencies,); 0 where it is silent.

    `phase` says what its phase stands on: "stated" with the response, "estimated" from its level
    as of a minimum-phase driver, or "unknown" (taken as none). `lacking` names the figure without
    which it has no level (taken as 0 dB for 1 V then).
    """

    pressure: Complex
    phase: str
    lacking: str = ""


def driver_of(way: Way, hz: Floats) -> Driver:
    """A way's own response."""
    volts = VOLT_OF_SENSITIVITY
    lacking = ""
    if way.sensitivity_basis == "1 W":
        impedance = way.rated_impedance_ohm.value
        lacking = "" if impedance is not None else "rated impedance"
        volts = math.sqrt(impedance) if impedance is not None else volts
    if way.axis_response is not None:
        pressure, phase = _on_axis(way.axis_response, hz)
        return Driver(pressure / volts, phase, lacking)
    low, high = way.low_hz.value or 0.0, way.high_hz.value or math.inf
    sounds = (hz >= low) & (hz <= high)
    sensitivity = way.sensitivity_db.value
    if sensitivity is None:
        return Driver(sounds.astype(np.complex128), "unknown", "sensitivity")
    level = 10 ** (sensitivity / 20) / volts
    return Driver(level * sounds.astype(np.complex128), "unknown", lacking)


def _on_axis(response: AxisResponse, hz: Floats) -> tuple[Complex, str]:
    have, level = np.array(response.frequency_hz), np.array(response.level_db)
    inside = (hz >= have[0]) & (hz <= have[-1])
    if response.phase_deg:
        turned = np.unwrap(np.radians(np.array(response.phase_deg)))
        phase = np.interp(np.log(hz), np.log(have), turned)
    else:
        phase = np.radians(minimum_phase_deg(have, level, hz))
    size = 10 ** (np.interp(np.log(hz), np.log(have), level) / 20) * inside
    return size * np.exp(1j * phase), "stated" if response.phase_deg else "estimated"


class Models:
    """What the ways of a rig's sheets do, each worked out once however many boxes there are."""

    def __init__(self, hz: Floats, speed_m_s: float) -> None:
        self.hz, self.speed_m_s = hz, speed_m_s
        self._drivers: dict[tuple[str, str], Driver] = {}
        self._tables: dict[tuple[str, str], Table | None] = {}

    def at(self, hz: Floats) -> "Models":
        """The same over other frequencies, with the directivities that are there already."""
        other = Models(hz, self.speed_m_s)
        other._tables = self._tables
        return other

    def driver(self, sheet: LoudspeakerSheet, way: Way) -> Driver:
        """The way's own response."""
        key = (sheet.name, way.name)
        if key not in self._drivers:
            self._drivers[key] = driver_of(way, self.hz)
        return self._drivers[key]

    def toward(
        self, sheet: LoudspeakerSheet, way: Way, placement: Placement, offset_m: Floats
    ) -> tuple[Complex, bool]:
        """Pressure re the axis in the direction of an offset (3,) from the box.

        Returns
        -------
        (pressure, known)
            (frequencies,); all 1 where no directivity is known, as for a small box in the bass.
        """
        key = (sheet.name, way.name)
        if key not in self._tables:
            self._tables[key] = _table(sheet, way, self.speed_m_s)
        table = self._tables[key]
        if table is None:
            return np.ones(len(self.hz), dtype=np.complex128), False
        axes = axes_of(placement.azimuth_deg, placement.tilt_deg, placement.roll_deg)
        ahead, right, up = (float(part) for part in axes @ offset_m)
        polar = math.degrees(math.atan2(math.hypot(right, up), ahead))
        azimuth = math.degrees(math.atan2(up, right)) % 360
        per_band = _bilinear(table, polar / STEP_DEG, azimuth / STEP_DEG)
        middles = np.log(bands.mid_bands_hz())
        found: Complex = np.interp(np.log(self.hz), middles, per_band)
        return found, True


def _table(sheet: LoudspeakerSheet, way: Way, speed_m_s: float) -> Table | None:
    stated = way.balloon is not None or way.piston_diameter_m.known
    if stated or (way.coverage_h_deg.known and way.coverage_v_deg.known):
        return way_table(sheet, way, speed_m_s)
    return None


def _bilinear(table: Table, polar: float, azimuth: float) -> Complex:
    """A table's value between its steps, (bands,)."""
    row, column = min(int(azimuth), AZIMUTHS - 1), min(int(polar), POLARS - 2)
    across, along = azimuth - row, polar - column
    corners = table[:, row : row + 2, column : column + 2].astype(np.complex128)
    weights = np.outer([1 - across, across], [1 - along, along])
    found: Complex = np.einsum("bij,ij->b", corners, weights)
    return found
