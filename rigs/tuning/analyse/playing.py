"""Test signals: made again from what is stored with a recording, and written as WAV."""

import struct
from functools import lru_cache
from typing import Any

import numpy as np

from calc.signals.measuring.played import PlayedSignal, exponential_sweep, pink_noise
from rigs.tuning.signals import played

BYTES = 3


def signal_of(stored: dict[str, Any], rate_hz: float | None = None) -> PlayedSignal:
    """The signal that `Recording.played` describes: the same samples each time.

    `rate_hz` makes a sweep at another sampling rate, for a recording that has it; noise is
    another noise there, so that it must be resampled instead.

    Raises
    ------
    ValueError
        Noise at another rate.
    """
    own = float(stored["rate_hz"])
    shared = {name: stored[name] for name in ("low_hz", "high_hz", "rms_db", "ramp_s")}
    if stored["kind"] == "sweep":
        return exponential_sweep(
            stored["seconds"], rate_hz or own, tail_s=stored["tail_s"], **shared
        )
    if rate_hz not in (None, own):
        raise ValueError("noise is made at its own sampling rate: resample it")
    return pink_noise(stored["seconds"], own, seed=stored["seed"], **shared)


@lru_cache(maxsize=2)
def wav_of(key: str) -> bytes:
    """A test signal as a WAV file, 24 bits, one channel."""
    signal = signal_of(played(key))
    whole = np.round(signal.samples * (2**23 - 1)).astype("<i4")
    samples = whole.view(np.uint8).reshape(-1, 4)[:, :BYTES].tobytes()
    rate = round(signal.sampling_hz)
    layout = struct.pack("<HHIIHH", 1, 1, rate, rate * BYTES, BYTES, 8 * BYTES)
    return b"".join(
        (
            struct.pack("<4sI4s", b"RIFF", 36 + len(samples), b"WAVE"),
            struct.pack("<4sI", b"fmt ", len(layout)),
            layout,
            struct.pack("<4sI", b"data", len(samples)),
            samples,
        )
    )
