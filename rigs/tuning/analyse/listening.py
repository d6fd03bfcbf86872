"""Samples from a phone, or a recording: which tones in them are feedback."""

from dataclasses import dataclass
from typing import BinaryIO

import numpy as np

from calc.signals.feedback.tones import Tone, listen
from calc.signals.words import hz_words
from rigs.tuning.analyse.sound import rows_of

MOST_S, LEAST_S = 4.0, 0.3
RATES_HZ = (8000, 96_000)
FULL_SCALE = 32_768.0
CLIPPED, SILENT_DB = 0.999, -70.0
AT_ONCE_S = 120.0


class NotHeard(ValueError):
    """What was sent is no sound that could be listened to; the text is for people."""


@dataclass(frozen=True, slots=True)
class Heard:
    """What was heard: tones that are feedback, worst first, and the loudest sample in dB."""

    tones: tuple[Tone, ...]
    peak_db: float
    says: str

    @property
    def rows(self) -> list[tuple[str, float, str, float]]:
        """Each in words: frequency, its number, what it does, when it was called."""
        return [
            (hz_words(round(one.frequency_hz)), round(one.frequency_hz, 1), one.says, one.called_s)
            for one in self.tones
        ]


def heard_in(raw: bytes, rate_hz: int) -> Heard:
    """Samples of 16 bits, little-endian, one channel.

    Raises
    ------
    NotHeard
        Too much, too little, of no rate that sound has, or half a sample.
    """
    if not RATES_HZ[0] <= rate_hz <= RATES_HZ[1]:
        raise NotHeard(f"Sound of {rate_hz} Hz can't be listened to.")
    if len(raw) % 2 or not LEAST_S * rate_hz <= len(raw) / 2 <= MOST_S * rate_hz:
        raise NotHeard("That was no sound, or too little or too much of it.")
    samples = np.frombuffer(raw, "<i2").astype(np.float64) / FULL_SCALE
    peak = float(np.abs(samples).max())
    peak_db = 20 * float(np.log10(max(peak, 1e-6)))
    tones = tuple(sorted(listen(samples, rate_hz), key=lambda tone: -tone.level_db))
    return Heard(tones, peak_db, _says(peak, peak_db, tones))


def heard_through(file: BinaryIO, rate_hz: float, channel: int = 0) -> Heard:
    """The first two minutes of one channel of a recording, in the order of hearing.

    Raises
    ------
    NotSound
        With what is wrong with the file.
    """
    with rows_of(file) as rows:
        samples = np.array(rows[channel, : round(AT_ONCE_S * rate_hz)], np.float64)
    peak = float(np.abs(samples).max(initial=0.0))
    peak_db = 20 * float(np.log10(max(peak, 1e-6)))
    tones = listen(samples, rate_hz)
    return Heard(tones, peak_db, _says(peak, peak_db, tones))


def _says(peak: float, peak_db: float, tones: tuple[Tone, ...]) -> str:
    if peak >= CLIPPED:
        return "The microphone clips: move it away, or turn its input down."
    if peak_db < SILENT_DB:
        return "Next to nothing is heard: is this the right input?"
    return "" if tones else "No tone grows."
