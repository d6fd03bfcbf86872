"""Impedance over frequency: what a curve says, and the lowest load of several boxes together."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.constants import MINIMUM_IMPEDANCE_SHARE
from calc.electrical.series import groups
from calc.system import ImpedanceCurve, Way
from calc.words import number

POINTS = 200
"""Frequencies over a band, beside the curve's own points."""

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Lowest:
    """The lowest impedance of one way or of a line in ohm, at which frequency, and by what."""

    ohm: float | None
    at_hz: float | None
    basis: str
    assumed: tuple[str, ...] = ()


def band_of(ways: Sequence[Way]) -> tuple[float, float] | None:
    """From the lowest to the highest frequency of ways; None where one does not say."""
    lows = [way.low_hz.value for way in ways]
    highs = [way.high_hz.value for way in ways]
    low = [f for f in lows if f is not None]
    high = [f for f in highs if f is not None]
    if not ways or len(low) < len(ways) or len(high) < len(ways):
        return None
    return min(low), max(high)


def log_spaced(low_hz: float, high_hz: float, count: int = POINTS) -> Floats:
    """Frequencies at equal ratios, both ends among them exactly."""
    grid = np.geomspace(low_hz, high_hz, count)
    grid[0], grid[-1] = low_hz, high_hz
    return grid


def impedance_at(curve: ImpedanceCurve, frequency_hz: Floats) -> Complexes:
    """Complex impedance in ohm at frequencies within the curve; a curve without phase is real."""
    at = np.log(frequency_hz)
    knots = np.log(curve.frequency_hz)
    magnitude = np.exp(np.interp(at, knots, np.log(curve.magnitude_ohm)))
    if not curve.phase_deg:
        return magnitude.astype(np.complex128)
    return magnitude * np.exp(1j * np.radians(np.interp(at, knots, curve.phase_deg)))


def lowest_of(way: Way) -> Lowest:
    """The lowest impedance of one way: by its curve over its band, else as stated or by rule."""
    return lowest_of_line([way], [False])


def lowest_of_line(ways: Sequence[Way], in_series: Sequence[bool]) -> Lowest:
    """The lowest impedance that the ways together can have, over the band that they play.

    Parameters
    ----------
    in_series : sequence of bool
        Whether a way stands in series with the one before it.

    Notes
    -----
    At each frequency the complex admittances of all curves with phase are added, and to the
    magnitude of that sum the admittances of what has no phase, which is the most that both
    together can be. Boxes in series without phase are added as if in phase. Where a curve does
    not reach, and for a way without one, its stated minimum counts, else 0.8 of its rated
    impedance (IEC 60268-5).
    """
    least = [_without_curve(way) for way in ways]
    if not any(way.impedance_curve for way in ways):
        return _constant(least, in_series)
    frequency = _frequencies(ways)
    members = [_Sampled.of(way, frequency, ohm) for way, (ohm, _) in zip(ways, least, strict=True)]
    known = np.zeros(len(frequency), dtype=np.complex128)
    bare = np.zeros(len(frequency))
    for group in groups(in_series):
        exact, magnitude, phased = _in_series([members[i] for i in group])
        known += np.where(phased, 1 / exact, 0)
        bare += np.where(phased, 0, 1 / magnitude)
    admittance = np.abs(known) + bare
    if not np.isfinite(admittance).all():
        return Lowest(None, None, "", ())
    worst = int(np.argmax(admittance))
    return Lowest(
        float(1 / admittance[worst]),
        float(frequency[worst]),
        _bases([member.basis for member in members]),
        tuple(dict.fromkeys(text for member in members for text in member.assumed)),
    )


def _without_curve(way: Way) -> tuple[float | None, str]:
    if way.minimum_impedance_ohm.value is not None:
        return way.minimum_impedance_ohm.value, "stated minimum"
    rated = way.rated_impedance_ohm.value
    if rated is None:
        return None, ""
    return MINIMUM_IMPEDANCE_SHARE * rated, "0.8 of the rated impedance (IEC 60268-5)"


def _constant(least: Sequence[tuple[float | None, str]], in_series: Sequence[bool]) -> Lowest:
    values = [ohm for ohm, _ in least if ohm is not None]
    if not values or len(values) < len(least):
        return Lowest(None, None, "")
    admittance = sum(1 / sum(values[i] for i in group) for group in groups(in_series))
    return Lowest(1 / admittance, None, _bases([basis for _, basis in least]))


def _bases(words: Sequence[str]) -> str:
    return " and ".join(dict.fromkeys(words))


def _frequencies(ways: Sequence[Way]) -> Floats:
    """The band of the ways (or what the curves cover), with every point of every curve in it."""
    curves = {id(c): c for c in (way.impedance_curve for way in ways) if c is not None}.values()
    band = band_of(ways) or (
        min(curve.frequency_hz[0] for curve in curves),
        max(curve.frequency_hz[-1] for curve in curves),
    )
    knots = np.concatenate([np.asarray(curve.frequency_hz) for curve in curves])
    inside = knots[(knots > band[0]) & (knots < band[1])]
    return np.unique(np.concatenate([log_spaced(*band), inside]))


@dataclass(frozen=True, slots=True)
class _Sampled:
    """One way at all frequencies: complex where its phase is known, else magnitude only."""

    exact: Complexes
    phased: NDArray[np.bool_]
    basis: str
    assumed: tuple[str, ...]

    @classmethod
    def of(cls, way: Way, frequency: Floats, otherwise_ohm: float | None) -> "_Sampled":
        curve = way.impedance_curve
        fallback = np.nan if otherwise_ohm is None else otherwise_ohm
        if curve is None:
            nowhere = np.zeros(len(frequency), dtype=np.bool_)
            exact = np.full(len(frequency), fallback, dtype=np.complex128)
            return cls(exact, nowhere, _without_curve(way)[1], ())
        low, high = curve.frequency_hz[0], curve.frequency_hz[-1]
        covered = (frequency >= low) & (frequency <= high)
        exact = np.where(covered, impedance_at(curve, np.clip(frequency, low, high)), fallback)
        assumed = []
        if not curve.phase_deg:
            assumed.append(f"Way '{way.name}': the phase of its impedance is unknown.")
        if not covered.all():
            assumed.append(
                f"Way '{way.name}': its impedance curve covers {number(low)} to {number(high)} Hz "
                "only; beyond, its minimum without a curve counts."
            )
        if way.low_hz.value is None or way.high_hz.value is None:
            assumed.append(f"Way '{way.name}': its band is unknown, the whole curve counts.")
        words = f"impedance curve ({curve.basis})"
        return cls(exact, covered & bool(curve.phase_deg), words, tuple(assumed))


def _in_series(members: Sequence[_Sampled]) -> tuple[Complexes, Floats, NDArray[np.bool_]]:
    """Sum of impedances, sum of magnitudes, and where the first one may be trusted."""
    exact = np.sum([member.exact for member in members], axis=0)
    magnitude = np.sum([np.abs(member.exact) for member in members], axis=0)
    phased = np.all([member.phased for member in members], axis=0)
    return np.where(phased, exact, 1), magnitude, phased
