"""From a recorded sweep to the response of what it went through, its distortion set apart.

Division by the sweep's spectrum puts the n-th harmonic's response L ln n ahead of the linear one,
where L is the time in which the sweep's frequency grows e-fold (method READ:
hedges.belmont.edu/~shawley/SHAART/ir.html).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import fft

from calc.signals.measuring.microphone import Microphone
from calc.signals.measuring.played import PlayedSignal
from calc.signals.measuring.spectra import rows_of

Floats = NDArray[np.float64]

HIGHEST_ORDER = 5
FLOOR = 1e-4
"""1. Of the strongest power, added to that of a signal of unknown range before division."""

EDGE_OCTAVES = 1 / 6
"""Outside of a sweep's range the response fades within so much."""

ABOVE_NOISE = 4.0
"""1. A harmonic's peak stands out of the noise's rms by so much, or it is not one: 12 dB."""

AHEAD_S = 0.005
FIRST_SHARE = 0.1
"""1. The arrival is where the response first comes within 20 dB of its highest peak."""


@dataclass(frozen=True, slots=True)
class Harmonic:
    """Distortion of one order: when it comes (ahead of the arrival), and its peak and energy.

    Both in dB re those of the linear response; None where it drowns in the noise or the room's
    late sound.
    """

    order: int
    ahead_s: float
    peak_db: float | None
    energy_db: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Response:
    """An impulse response (n,) of one channel, starting when the signal was played.

    `arrival` is the sample of its highest peak, `onset` that of its beginning. `noise_db` is the
    rms of what is left at its end, re that peak.
    """

    samples: Floats
    sampling_hz: float
    arrival: int
    onset: int
    noise_db: float
    harmonics: tuple[Harmonic, ...] = ()
    cannot: tuple[str, ...] = ()


def response_of(samples: ArrayLike, sampling_hz: float) -> Response:
    """A response that somebody measured elsewhere, as it is."""
    row = rows_of(samples)[0].astype(np.float64)
    return _placed(row, len(row), sampling_hz, (), ())


def deconvolved(
    recorded: ArrayLike, played: PlayedSignal, microphone: Microphone | None = None
) -> tuple[Response, ...]:
    """The response of each recorded channel to a sweep of ours, with its harmonics.

    Parameters
    ----------
    recorded : (n,) or (channels, n)
        From the moment when the signal was played, at its sampling rate.

    Raises
    ------
    ValueError
        The signal is not a sweep.
    """
    if played.kind != "sweep":
        raise ValueError("only a sweep's recording can be divided by it")
    rows = rows_of(recorded)
    found = _divided(
        rows,
        played.samples,
        played.sampling_hz,
        (played.low_hz, played.high_hz, played.end_hz),
        microphone,
    )
    end = int(min(rows.shape[1] + 1, found.shape[1]))
    return tuple(_with_harmonics(row, end, played) for row in found)


def divided(
    recorded: ArrayLike,
    played: ArrayLike,
    sampling_hz: float,
    microphone: Microphone | None = None,
) -> tuple[Response, ...]:
    """The same for any played signal (m,) that fills its range, without harmonics."""
    rows = rows_of(recorded)
    signal = rows_of(played)[0]
    found = _divided(rows, signal, sampling_hz, None, microphone)
    end = max(1, rows.shape[1] - len(signal) // 2)
    return tuple(_placed(row[:end], end, sampling_hz, (), ()) for row in found)


def _divided(
    rows: NDArray,
    signal: NDArray,
    sampling_hz: float,
    band_hz: tuple[float, float, float] | None,
    microphone: Microphone | None,
) -> NDArray[np.float32]:
    """Spectral division, (channels, size): the response from its start, harmonics at the end."""
    size = fft.next_fast_len(max(rows.shape[1], len(signal)) + 1, real=True)
    source = fft.rfft(np.asarray(signal, np.float32), size)
    hz = np.fft.rfftfreq(size, 1 / sampling_hz).astype(np.float32)
    strength = source.real**2 + source.imag**2
    if band_hz is None:
        # Held, not added to: what is added takes 0.4 dB off a sweep's response at 10 kHz.
        factor = source.conj() / np.maximum(strength, FLOOR * strength.max(initial=1e-30))
    else:
        factor = source.conj() * (_inside(hz, band_hz) / np.maximum(strength, 1e-30))
    if microphone is not None and microphone.frequency_hz:
        factor *= 10 ** (-microphone.at(np.maximum(hz, 1.0)) / 20)
    found = np.empty((len(rows), size), dtype=np.float32)
    for row, channel in enumerate(rows):
        heard = fft.rfft(np.asarray(channel, np.float32), size)
        heard *= factor
        found[row] = fft.irfft(heard, size, overwrite_x=True)
    return found


def _inside(hz: NDArray, band_hz: tuple[float, float, float]) -> NDArray:
    """1 within the range, with raised-cosine edges outside of it, where the sweep fades too."""
    low, high, end = band_hz
    inside = np.zeros(len(hz), dtype=np.float32)
    step = hz[1]
    ratio = 2**EDGE_OCTAVES
    a, b, c, d = (round(float(x / step)) for x in (low / ratio, low, high, end))
    b, c, d = max(b, a + 1), min(c, len(hz)), min(d, len(hz))
    inside[b:c] = 1
    inside[a:b] = 0.5 - 0.5 * np.cos(np.pi * (np.arange(b - a) + 0.5) / (b - a))
    inside[c:d] = 0.5 + 0.5 * np.cos(np.pi * (np.arange(d - c) + 0.5) / max(d - c, 1))
    return inside


def _with_harmonics(row: NDArray, end: int, played: PlayedSignal) -> Response:
    rate, growth = played.sampling_hz, played.growth_s
    sounding = round((played.start_s + played.sounding_s) * rate)
    kept = max(end - sounding, 1)
    linear = row[: max(kept, min(end, round(0.1 * rate)))]
    arrival = int(np.abs(linear).argmax())
    early = [round(growth * math.log(order) * rate) for order in range(1, HIGHEST_ORDER + 2)]
    harmonics = tuple(
        _harmonic(row, linear, arrival, early, order, played.low_hz, rate)
        for order in range(2, HIGHEST_ORDER + 1)
    )
    cannot: tuple[str, ...] = ()
    if kept < 1.0 * rate:
        cannot = (
            "The recording ends less than 1 s after the sweep: the room's decay is cut. Let it run "
            "on for as long as the room is heard.",
        )
    return _placed(linear.astype(np.float64), len(linear), rate, harmonics, cannot)


def _harmonic(
    row: NDArray,
    linear: NDArray,
    arrival: int,
    early: list[int],
    order: int,
    low_hz: float,
    rate: float,
) -> Harmonic:
    """What lies around a harmonic's arrival, in the range where it can be, as an envelope."""
    ahead = round(AHEAD_S * rate)
    start = arrival - early[order - 1] - ahead
    length = (early[order - 1] - early[order - 2]) // 2
    part = _envelope(row, start, length, order * low_hz, rate)
    # What stands just before it: the noise, and the late sound of the next higher harmonic.
    before = _envelope(row, start - length, length - ahead, order * low_hz, rate)
    own = _envelope(linear, arrival - ahead, len(linear), low_hz, rate)
    noise = float(np.mean(before[length // 2 :] ** 2))
    top, energy = float(part.max()), float((part**2).sum()) - noise * length
    clear = top > ABOVE_NOISE * math.sqrt(noise) and energy > 0
    return Harmonic(
        order=order,
        ahead_s=early[order - 1] / rate,
        peak_db=20 * math.log10(top / float(own.max())) if clear else None,
        energy_db=10 * math.log10(energy / float((own**2).sum())) if clear else None,
    )


def _envelope(row: NDArray, start: int, length: int, low_hz: float, rate: float) -> Floats:
    """Size of the analytic signal of a stretch, which may wrap round, above a frequency."""
    part = np.take(row, np.arange(start, start + length), mode="wrap").astype(np.float64)
    size = fft.next_fast_len(length)
    spectrum = fft.fft(part, size)
    spectrum[: math.ceil(low_hz * size / rate)] = 0
    spectrum[size // 2 :] = 0
    envelope: Floats = 2 * np.abs(fft.ifft(spectrum)[:length])
    return envelope


def _placed(
    row: Floats,
    end: int,
    sampling_hz: float,
    harmonics: tuple[Harmonic, ...],
    cannot: tuple[str, ...],
) -> Response:
    size = np.abs(row[:end])
    arrival = int(size.argmax())
    top = float(size[arrival])
    reach = max(0, arrival - round(0.1 * sampling_hz))
    onset = reach + int(np.argmax(size[reach : arrival + 1] >= FIRST_SHARE * top))
    rest = float(np.sqrt(np.mean(row[-max(1, len(row) // 10) :] ** 2)))
    if top == 0:
        cannot = (*cannot, "The recording is silent.")
    quiet = 20 * math.log10(max(rest, 1e-15 * top) / top) if top else 0.0
    return Response(row, sampling_hz, arrival, onset, quiet, harmonics, cannot)
