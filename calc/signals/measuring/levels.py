"""Levels of a recording: one-third octaves and the whole, weighted A, C and not at all."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calc.acoustics import bands
from calc.acoustics.weighting import a_weighting_db, c_weighting_db
from calc.signals.measuring.microphone import Microphone
from calc.signals.measuring.spectra import lines_hz, piece_size, pieces_to_the_ends, power, rows_of

Floats = NDArray[np.float64]

LOWEST_HZ = 10.0
"""Hz. What lies below counts for no level: no loudspeaker plays it, and wind does."""

BINS = 3.0
"""A band holds so many lines at least, else it can't be told from its neighbours. Own choice."""

SILENT_DB = -200.0


@dataclass(frozen=True, slots=True)
class BandLevels:
    """Levels of one channel, dB re full scale, or dB re 20 uPa where the microphone is calibrated.

    One entry for each third octave from 25 Hz to 20 kHz; None where the recording can't say.
    `uncertainty_db` is twice the standard deviation that steady noise of that bandwidth and time
    leaves; it knows nothing of the microphone. `low_hz` to `high_hz` are the bands' edges.
    """

    frequency_hz: tuple[float, ...]
    level_db: tuple[float | None, ...]
    uncertainty_db: tuple[float | None, ...]
    a_db: float
    c_db: float
    z_db: float
    seconds: float
    unit: str
    cannot: tuple[str, ...] = ()


def levels(
    samples: ArrayLike, sampling_hz: float, microphone: Microphone | None = None
) -> tuple[BandLevels, ...]:
    """Levels of each channel over the whole recording, equal time counting alike (Leq).

    Parameters
    ----------
    samples : (n,) or (channels, n)
        Full scale is 1.
    sampling_hz : float
    microphone : Microphone, optional
        Its curve is taken off; where its level is known, the result is in dB re 20 uPa.
    """
    rows = rows_of(samples)
    hz, density = _spectrum(rows, sampling_hz)
    microphone = microphone or Microphone()
    if microphone.frequency_hz:
        density = density * 10 ** (-microphone.at(np.maximum(hz, 1.0)) / 10)
    edges = edges_hz()
    held = _between(hz, density, edges)
    usable = (edges[1] - edges[0] >= BINS * hz[1]) & (edges[1] <= sampling_hz / 2)
    seconds = rows.shape[1] / sampling_hz
    return tuple(
        _answer(hz, density[row], held[row], usable, seconds, microphone)
        for row in range(len(rows))
    )


def edges_hz() -> Floats:
    """Lower and upper edges of the third octaves, (2, 30)."""
    ratio = 10**bands.HALF_BAND
    middles = bands.mid_bands_hz()
    return np.stack([middles / ratio, middles * ratio])


def _spectrum(rows: NDArray, sampling_hz: float) -> tuple[Floats, Floats]:
    """Lines in Hz and the mean square of each, (channels, lines); they add up to the whole."""
    size = piece_size(rows.shape[1], sampling_hz)
    total = np.zeros((len(rows), size // 2 + 1))
    for spectra in pieces_to_the_ends(rows, size):
        total += power(spectra)
    total[:, 1:-1] *= 2
    hz = lines_hz(size, sampling_hz)
    total[:, hz < LOWEST_HZ] = 0
    # The windows' squares add up to 1: every sample counts once.
    return hz, total / (max(rows.shape[1], 1) * float(size))


def _between(hz: Floats, density: Floats, edges: Floats) -> Floats:
    """Power between band edges, (channels, bands): a line is spread over its own width."""
    borders = np.concatenate([hz - hz[1] / 2, [hz[-1] + hz[1] / 2]])
    found = np.empty((len(density), edges.shape[1]))
    for row, lines in enumerate(density):
        summed = np.concatenate([[0.0], np.cumsum(lines)])
        found[row] = np.diff(np.interp(edges, borders, summed), axis=0)[0]
    return found


def _answer(
    hz: Floats,
    density: Floats,
    held: Floats,
    usable: NDArray[np.bool_],
    seconds: float,
    microphone: Microphone,
) -> BandLevels:
    offset = microphone.full_scale_db or 0.0
    audible = np.maximum(hz, 1.0)
    whole = [
        _db(float(density @ 10 ** (curve / 10))) + offset
        for curve in (a_weighting_db(audible), c_weighting_db(audible), np.zeros(len(hz)))
    ]
    middles = bands.mid_bands_hz()
    width = middles * (10**bands.HALF_BAND - 10**-bands.HALF_BAND)
    spread = 2 * 10 / math.log(10) / np.sqrt(np.maximum(width * seconds, 1e-9))
    return BandLevels(
        frequency_hz=tuple(middles.tolist()),
        level_db=tuple(
            _db(float(value)) + offset if ok else None
            for value, ok in zip(held, usable, strict=True)
        ),
        uncertainty_db=tuple(
            float(value) if ok else None for value, ok in zip(spread, usable, strict=True)
        ),
        a_db=whole[0],
        c_db=whole[1],
        z_db=whole[2],
        seconds=seconds,
        unit="dB SPL" if microphone.full_scale_db is not None else "dB re full scale",
        cannot=_cannot(middles[~usable], seconds),
    )


def _cannot(missing: Floats, seconds: float) -> tuple[str, ...]:
    said = []
    if (missing < 1000).any():
        top = float(missing[missing < 1000].max())
        said.append(
            f"{seconds:.1f} s are too short for the bands up to {top:.0f} Hz: record longer."
        )
    if (missing > 1000).any():
        low = float(missing[missing > 1000].min())
        said.append(f"The sampling rate is too low for the bands from {low:.0f} Hz up.")
    return tuple(said)


def _db(power_ratio: float) -> float:
    return 10 * math.log10(power_ratio) if power_ratio > 0 else SILENT_DB
