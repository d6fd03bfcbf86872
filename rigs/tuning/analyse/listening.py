"""Tones that are feedback: in the last seconds of a phone's microphone, and in a recording."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from calc.signals.feedback.tones import Listener, Tone, listen
from rigs.tuning.analyse.recorded import settings_of
from rigs.tuning.analyse.sound import rows_of
from rigs.tuning.models import Recording

SAME_HZ = 5.0
"""Two calls nearer than this are one tone: half of the nearest pair that is told apart."""

MOST_S = 180.0
"""Of a recording, s: more is not listened to while somebody waits for the page."""

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Heard:
    """A tone at the end of what was heard. `level_db` re a full-scale sine, None: it has stopped.

    `growth_db_per_s` and `since_s` (how long ago it was first seen) while the listener follows it;
    None where it is only known from before.
    """

    frequency_hz: float
    level_db: float | None
    growth_db_per_s: float | None = None
    since_s: float | None = None


@dataclass(frozen=True, slots=True)
class Moment:
    """What is heard now: the tones that are feedback, those that sound first, the loudest of them
    first; and the narrow tone that stands out most, feedback or not."""

    tones: tuple[Heard, ...]
    stands_out_hz: float | None


def hear(listener: Listener, samples: Floats, known_hz: Sequence[float] = ()) -> Moment:
    """Listen to the next samples (n,), full scale at 1.

    What has reached the limiters may be called no longer: whoever asks again and again says in
    `known_hz` which tones were called, and hears whether they sound still.
    """
    called = listener.hear(samples)
    now = listener.standing()
    tones = [
        Heard(
            tone.frequency_hz,
            tone.level_db,
            tone.growth_db_per_s,
            max(0.0, listener.heard_s - tone.first_s),
        )
        for tone in called
    ]
    tones += [
        Heard(hz, _level_at(hz, now))
        for hz in known_hz
        if all(abs(hz - tone.frequency_hz) > SAME_HZ for tone in called)
    ]
    tones.sort(key=lambda one: (one.level_db is None, -(one.level_db or 0)))
    return Moment(tuple(tones), now[0][0] if now else None)


def _level_at(hz: float, now: Sequence[tuple[float, float]]) -> float | None:
    near = min(now, key=lambda peak: abs(peak[0] - hz), default=None)
    return near[1] if near is not None and abs(near[0] - hz) <= SAME_HZ else None


@dataclass(frozen=True, slots=True)
class Through:
    """A recording, listened through: its tones in the order in which they came; `whole` where it
    was not too long."""

    tones: tuple[Tone, ...]
    whole: bool


def through(row: Recording) -> Through:
    """Listen through the microphone's channel of a recording.

    Raises
    ------
    NotSound, OSError
        Its file can't be read.
    """
    most = round(MOST_S * row.rate_hz)
    file: BinaryIO = row.file.open("rb")  # type: ignore[assignment]
    with file, rows_of(file) as samples:
        channel = samples[settings_of(row).microphone_channel]
        return Through(listen(channel[:most], row.rate_hz), len(channel) <= most)
