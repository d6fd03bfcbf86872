"""Loudspeakers as `calc` reads them. Terms as in IEC 60268-5."""

from dataclasses import dataclass
from typing import Literal

from calc.figure import UNKNOWN, Basis, Figure

SensitivityBasis = Literal["1 W", "2.83 V"]
Role = Literal["top", "sub", "monitor", "fill", "line element"]


@dataclass(frozen=True, slots=True)
class ImpedanceCurve:
    """Impedance over frequency, as measured or as drawn on a data sheet.

    `frequency_hz` rises; `magnitude_ohm` has one value for each. `phase_deg` (-90 to 90, positive
    when inductive) has one for each too, or is empty where nobody measured it: the magnitude
    alone then gives the lowest load that could be. Between the points the logarithm of the
    magnitude, and the phase, go straight over the logarithm of the frequency.
    """

    frequency_hz: tuple[float, ...]
    magnitude_ohm: tuple[float, ...]
    phase_deg: tuple[float, ...] = ()
    basis: Basis = "measured"


@dataclass(frozen=True, slots=True)
class Balloon:
    """How one way radiates, band by band: level re its axis in every direction.

    `polar_deg` is the angle from the aim, 0 to 180; `azimuth_deg` turns about the aim, 0 to the
    box's right (seen along its aim), 90 up: all round from 0, or only 0 to 90 (symmetric both
    ways), 0 to 180 (the lower half mirrors the upper) or -90 to 90 (the left mirrors the right).
    `level_db` (bands, azimuths, polars) is 0 on the axis; `phase_deg` likewise, or empty.
    """

    band_hz: tuple[float, ...]
    polar_deg: tuple[float, ...]
    azimuth_deg: tuple[float, ...]
    level_db: tuple[tuple[tuple[float, ...], ...], ...]
    phase_deg: tuple[tuple[tuple[float, ...], ...], ...] = ()
    basis: Basis = "measured"


@dataclass(frozen=True, slots=True)
class AxisResponse:
    """Level on the axis at 1 m over frequency, for the drive that the sensitivity is stated for.

    `frequency_hz` rises. Between the points it goes straight over the logarithm of the
    frequency; beyond its ends nothing is known and the way is silent. `phase_deg` has one value
    for each frequency, the box's own arrival taken out, or is empty: then the phase that goes
    with the level of a minimum-phase driver is worked out, an estimate.
    """

    frequency_hz: tuple[float, ...]
    level_db: tuple[float, ...]
    phase_deg: tuple[float, ...] = ()
    basis: Basis = "measured"


@dataclass(frozen=True, slots=True)
class Way:
    """One separately driven band of a loudspeaker. Terms as in IEC 60268-5.

    A box with several inputs has one way for each. `impedance_curve` counts before
    `minimum_impedance_ohm`. `programme_power_w` is used for limiters only where a named person
    decided so (`DriveLine.limiter_basis`). `pole_pair` (from 1) is the pair of the box's
    connector that feeds it.

    `balloon` counts before `piston_diameter_m` (a round piston in a baffle), that before the
    coverage angles. `axis_response` counts before `sensitivity_db`.

    `least_high_pass_hz` and `least_high_pass_order` are what its maker demands: a high pass at
    that corner or above, that steep or steeper (a high-frequency way's lowest crossover, a
    woofer's protection). 0 Hz: it needs none.
    """

    name: str
    rated_impedance_ohm: Figure
    minimum_impedance_ohm: Figure
    noise_power_w: Figure
    peak_power_w: Figure
    sensitivity_db: Figure
    sensitivity_basis: SensitivityBasis
    low_hz: Figure
    high_hz: Figure
    coverage_h_deg: Figure
    coverage_v_deg: Figure
    impedance_curve: ImpedanceCurve | None = None
    programme_power_w: Figure = UNKNOWN
    pole_pair: int = 1
    balloon: Balloon | None = None
    axis_response: AxisResponse | None = None
    piston_diameter_m: Figure = UNKNOWN
    least_high_pass_hz: Figure = UNKNOWN
    least_high_pass_order: int | None = None


@dataclass(frozen=True, slots=True)
class LoudspeakerSheet:
    """A loudspeaker's data sheet; `role` decides which damping factor is wished for."""

    name: str
    role: Role
    ways: tuple[Way, ...]
    mass_kg: Figure = UNKNOWN
    width_m: Figure = UNKNOWN
    height_m: Figure = UNKNOWN
