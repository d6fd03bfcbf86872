"""Complex response and group delay of filters over frequency, all outputs at once.

A bilinear filter with pre-warp equals the analogue one at s = j tan(pi f/fs) / tan(pi f0/fs), an
analogue one stands at s = j f/f0. Both are evaluated over an angle, pi f/fs or arctan(f / 1 kHz),
with nothing but its sine and cosine: finite from 0 Hz to half the sampling rate, and real
numbers until pairs of sections are multiplied.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.filters import sections_of
from calc.system import BesselCorner, Filter, ProcessorAbilities, ProcessorOutput

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

MIDDLE_HZ = 1000.0
"""Hz. Where the angle of the analogue scale is 45 degrees: any would do."""

SLOPE_STEP = 1e-5
"""1. Share of the frequency to both sides of it over which a slope of the phase is taken."""

AT_ONCE = 16
"""So many sections are multiplied before they are divided: their product stays a plain number."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Frequencies as angles; above half the sampling rate (None: analogue) as there."""

    sampling_hz: float | None

    def angle(self, hz: Floats) -> Floats:
        """The angle of frequencies of 0 Hz or above, rad, 0 to pi/2."""
        if self.sampling_hz is None:
            return np.arctan(hz / MIDDLE_HZ)
        return np.minimum(np.pi * hz / self.sampling_hz, np.pi / 2)

    def angle_per_rad_s(self, hz: Floats) -> Floats:
        """By how much the angle grows with the angular frequency, s."""
        if self.sampling_hz is None:
            return np.cos(np.arctan(hz / MIDDLE_HZ)) ** 2 / (2 * np.pi * MIDDLE_HZ)
        return np.full(len(hz), 0.5 / self.sampling_hz)

    def stretch(self, frequency_hz: float) -> float:
        """What the tangent of the angle is multiplied with to be 1 at a filter's frequency.

        Raises
        ------
        ValueError
            The frequency does not lie between 0 Hz and half the sampling rate.
        """
        if self.sampling_hz is None:
            if frequency_hz <= 0:
                raise ValueError("a filter's frequency lies above 0 Hz")
            return MIDDLE_HZ / frequency_hz
        if not 0 < frequency_hz < self.sampling_hz / 2:
            raise ValueError(
                f"{frequency_hz:g} Hz does not lie between 0 Hz and half the sampling rate, "
                f"{self.sampling_hz / 2:g} Hz"
            )
        return 1 / math.tan(math.pi * frequency_hz / self.sampling_hz)


def basis_of(sampling_hz: float | None) -> str:
    """Which of the two a response stands on, in words."""
    if sampling_hz is None:
        return "analogue filters, as the sampling rate is unknown"
    return f"digital filters at {sampling_hz / 1000:g} kHz (bilinear, pre-warped)"


def filters_response(
    filters: Sequence[Filter],
    hz: Floats,
    sampling_hz: float | None = None,
    corner: BesselCorner = "unknown",
) -> Complex:
    """What filters in a row do, complex, shape (frequencies,).

    Parameters
    ----------
    hz : array, shape (frequencies,)
        0 Hz or above.
    sampling_hz : float, optional
        None: analogue filters.
    corner : str
        What a Bessel's corner means.

    Raises
    ------
    ValueError
        An impossible filter, or one at or above half the sampling rate.
    """
    row: Complex = many_responses([filters], hz, sampling_hz, corner)[0]
    return row


def many_responses(
    outputs: Sequence[Sequence[Filter]],
    hz: Floats,
    sampling_hz: float | None = None,
    corner: BesselCorner = "unknown",
) -> Complex:
    """What the filters of many outputs do, complex, shape (outputs, frequencies).

    Raises
    ------
    ValueError
        As `filters_response`.
    """
    scale = Scale(sampling_hz)
    coefficients = _coefficients(outputs, scale, corner)
    angle = scale.angle(np.asarray(hz, dtype=np.float64))
    shapes = _Shapes.of(angle)
    found = np.ones((len(outputs), len(angle)), dtype=np.complex128)
    for start in range(0, coefficients.shape[1], AT_ONCE):
        sides = _product(coefficients[:, start : start + AT_ONCE], shapes)
        found *= sides[:, 0] / sides[:, 1]
    return found


def output_response(output: ProcessorOutput, abilities: ProcessorAbilities, hz: Floats) -> Complex:
    """Filters and polarity of an output, complex, shape (frequencies,).

    Gain and delay are not in it: see `gain_factor` and `delay_turn`. Digital where the
    processor's sampling rate is known.

    Raises
    ------
    ValueError
        As `filters_response`.
    """
    found = filters_response(
        output.filters, hz, abilities.sampling_hz.value, abilities.bessel_corner
    )
    return -found if output.inverted else found


def gain_factor(output: ProcessorOutput) -> float | None:
    """Gain of an output as a ratio of amplitudes; None where nobody said it."""
    return None if output.gain_db is None else float(10 ** (output.gain_db / 20))


def delay_turn(delay_ms: float, hz: Floats) -> Complex:
    """What a delay does to the phase, magnitude 1."""
    turn: Complex = np.exp(-2j * np.pi * np.asarray(hz) * (delay_ms / 1000))
    return turn


def group_delay_ms(
    filters: Sequence[Filter],
    hz: Floats,
    sampling_hz: float | None = None,
    corner: BesselCorner = "unknown",
) -> Floats:
    """Group delay of filters in a row, ms, shape (frequencies,).

    Where a notch lets nothing through its own part counts as none.

    Raises
    ------
    ValueError
        As `filters_response`.
    """
    scale, at = Scale(sampling_hz), np.asarray(hz, dtype=np.float64)
    coefficients = _coefficients([filters], scale, corner)[0]
    angle = scale.angle(at)
    turned = _turning(coefficients[:, :3], angle) - _turning(coefficients[:, 3:], angle)
    delay: Floats = -1000 * turned.sum(axis=0) * scale.angle_per_rad_s(at)
    return delay


def group_delay_of(response: Callable[[Floats], Complex], hz: Floats) -> Floats:
    """Group delay of anything complex, ms, by the slope of its phase; 0 where it is silent.

    Parameters
    ----------
    response : callable
        Frequencies (n,) to complex values (n,).
    """
    step = hz * SLOPE_STEP
    both = response(np.concatenate([hz - step, hz + step]))
    below, above = both[: len(hz)], both[len(hz) :]
    turned: Floats = np.angle(above * np.conj(below))
    delay: Floats = -1000 * turned / (4 * np.pi * step)
    return delay


def _coefficients(
    outputs: Sequence[Sequence[Filter]], scale: Scale, corner: BesselCorner
) -> Floats:
    """(outputs, sections, 6), of the tangent of the angle; the shorter ones filled with 1/1."""
    rows: list[list[tuple[float, ...]]] = []
    for filters in outputs:
        row: list[tuple[float, ...]] = []
        for part in filters:
            k = scale.stretch(part.frequency_hz)
            for b0, b1, b2, a0, a1, a2 in sections_of(part, corner):
                row.append((b0 / k, b1, b2 * k, a0 / k, a1, a2 * k))
        rows.append(row)
    longest = max((len(row) for row in rows), default=0)
    longest += longest % 2  # they are multiplied two by two
    idle = (1.0, 0.0, -1.0, 1.0, 0.0, -1.0)  # cos^2 + sin^2
    flat = [value for row in rows for value in row + [idle] * (longest - len(row))]
    return np.array(flat, dtype=np.float64).reshape(len(rows), longest, 6)


@dataclass(frozen=True, slots=True)
class _Shapes:
    """Real and imaginary shapes of two sections multiplied, over the angle: (3,) and (2,) rows."""

    real: Floats
    imaginary: Floats

    @classmethod
    def of(cls, angle: Floats) -> "_Shapes":
        sine, cosine = np.sin(angle), np.cos(angle)
        both = sine * cosine
        real = np.stack([cosine**4, -both * both, sine**4])
        return cls(real, np.stack([cosine * cosine * both, -sine * sine * both]))


def _in_twos(coefficients: Floats) -> tuple[Floats, Floats]:
    """Neighbouring sections multiplied: what belongs to the real and the imaginary shapes.

    (outputs, sections, 2, 3), an even number of them, to (outputs, sections / 2, 2, 3) and
    (outputs, sections / 2, 2, 2).
    """
    a0, a1, a2 = np.moveaxis(coefficients[:, 0::2], -1, 0)
    b0, b1, b2 = np.moveaxis(coefficients[:, 1::2], -1, 0)
    real = np.stack([a0 * b0, a0 * b2 + a2 * b0 + a1 * b1, a2 * b2], axis=-1)
    return real, np.stack([a0 * b1 + a1 * b0, a1 * b2 + a2 * b1], axis=-1)


def _product(coefficients: Floats, shapes: _Shapes) -> Complex:
    """Both sides of all sections multiplied: (outputs, sections, 6) to (outputs, 2, lines)."""
    outputs, sections, _ = coefficients.shape
    real, imaginary = _in_twos(coefficients.reshape(outputs, sections, 2, 3))
    values = np.empty((*real.shape[:3], shapes.real.shape[1]), dtype=np.complex128)
    values.real = real @ shapes.real
    values.imag = imaginary @ shapes.imaginary
    product: Complex = np.multiply.reduce(values, axis=1)
    return product


def _turning(coefficients: Floats, angle: Floats) -> Floats:
    """By how much the phase of one side grows with the angle, (sections, frequencies)."""
    sine, cosine = np.sin(angle), np.cos(angle)
    first, middle, last = (coefficients[:, [i]] for i in range(3))
    real = first * cosine**2 - last * sine**2
    imaginary = middle * sine * cosine
    real_grows = -2 * (first + last) * sine * cosine
    imaginary_grows = middle * (cosine**2 - sine**2)
    power = real**2 + imaginary**2
    grows: Floats = np.divide(
        real * imaginary_grows - imaginary * real_grows,
        power,
        out=np.zeros_like(power),
        where=power > 1e-20,
    )
    return grows
