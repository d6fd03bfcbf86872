"""Speech transmission index from an impulse response, IEC 60268-16 edition 5, indirect method."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.bands import octave_bands_hz
from calc.acoustics.room.speech import (
    MALE_SPECTRUM_DB,
    MODULATION_HZ,
    index_of,
    rating,
    transmission_index,
)
from calc.signals.measuring.bandpass import STEEP, BandEnergy, energies
from calc.signals.measuring.sweep import Response
from calc.signals.measuring.tail import decay_of

Floats = NDArray[np.float64]

LEAST_S = 1.6
"""s. A response for the indirect method lasts so long (edition 5, READ in a library's code)."""

LEAST_RANGE_DB = 20.0
"""dB over the noise in every octave; below it the noise of the measurement passes for the room."""

METHOD_SPREAD = 0.02
"""1. Twice the standard deviation between rightful evaluations of one response. Own estimate."""

A_WEIGHTS_DB = (-16.1, -8.6, -3.2, 0.0, 1.2, 1.0, -1.1)
"""IEC 61672-1 at 125 Hz to 8 kHz, READ."""


@dataclass(frozen=True, slots=True)
class SpeechIndex:
    """The index 0 to 1 and its letter; None where the response can't say, and `cannot` says why.

    `modulation` is that of the room alone, 7 octaves from 125 Hz by 14 frequencies. Without the
    levels of speech and noise the index is an upper bound, and `warnings` say so.
    """

    index: float | None
    letter: str | None
    uncertainty: float | None
    modulation: tuple[tuple[float, ...], ...] = ()
    warnings: tuple[str, ...] = ()
    cannot: tuple[str, ...] = ()
    edition: str = "IEC 60268-16 edition 5, male spectrum"


def speech_index(
    response: Response,
    speech_dba: float | None = None,
    noise_db: Sequence[float | None] | None = None,
) -> SpeechIndex:
    """The index of a response, with the noise that there will be.

    Parameters
    ----------
    response : Response
        From its arrival on at least 1.6 s.
    speech_dba : float, optional
        Level of the speech at this spot, dB(A). None: neither masking nor hearing counts.
    noise_db : 7 floats, optional
        Octave levels of the noise, 125 Hz to 8 kHz, dB re 20 uPa.
    """
    heard = response.samples[response.onset :]
    lasting = len(heard) / response.sampling_hz
    if lasting < LEAST_S:
        return _refused(
            f"The response lasts {lasting:.2f} s and the index needs {LEAST_S} s: record for "
            "longer after the sweep."
        )
    octaves = list(energies(heard, response.sampling_hz, octave_bands_hz(), 1, STEEP))
    missing = _missing(octaves)
    if missing:
        return _refused(missing)
    modulation = np.array([_modulation(band) for band in octaves])
    index, warnings = _index(modulation, speech_dba, noise_db)
    return SpeechIndex(
        index=index,
        letter=rating(index),
        uncertainty=METHOD_SPREAD,
        modulation=tuple(tuple(row) for row in modulation.tolist()),
        warnings=warnings,
    )


def _refused(why: str) -> SpeechIndex:
    return SpeechIndex(None, None, None, cannot=(why,))


def _missing(octaves: Sequence[BandEnergy]) -> str | None:
    """What an octave lacks, in words."""
    for band in octaves:
        if not len(band.energy):
            return "The sampling rate is too low for the octave of 8 kHz: record at 44.1 kHz or up."
        decay = decay_of(band)
        if decay is None or decay.range_db < LEAST_RANGE_DB:
            return (
                f"The octave of {band.frequency_hz:.0f} Hz stands less than "
                f"{LEAST_RANGE_DB:.0f} dB out of the noise: play louder, or make it quieter."
            )
    return None


def _modulation(band: BandEnergy) -> Floats:
    """|sum of energy e^(-j 2 pi F t)| over its sum, up to where the noise begins, (14,)."""
    decay = decay_of(band)
    end = len(band.energy) if decay is None else max(2, int(decay.crossing_s * band.rate_hz))
    energy = band.energy[:end]
    turn = np.exp(-2j * np.pi * np.outer(MODULATION_HZ, np.arange(len(energy)) / band.rate_hz))
    left: Floats = np.abs(turn @ energy) / energy.sum()
    return left


def _index(
    modulation: Floats, speech_dba: float | None, noise_db: Sequence[float | None] | None
) -> tuple[float, tuple[str, ...]]:
    if speech_dba is None:
        return float(index_of(modulation)), (
            "Without the level of the speech and the noise this is an upper bound.",
        )
    spectrum = np.asarray(MALE_SPECTRUM_DB)
    whole = 10 * math.log10(float((10 ** ((spectrum + np.array(A_WEIGHTS_DB)) / 10)).sum()))
    speech = spectrum - whole + speech_dba
    if noise_db is None or any(level is None for level in noise_db):
        return float(transmission_index(modulation, speech)), (
            "Without the noise in all octaves this is an upper bound.",
        )
    noise = np.array([float(level) for level in noise_db if level is not None])
    return float(transmission_index(modulation, speech, noise)), ()
