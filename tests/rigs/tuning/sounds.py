"""WAV files made for tests by the standard library and numpy, not by what is tested."""

import io
import struct
import wave

import numpy as np


def wav(samples, rate_hz: int = 48_000, bits: int = 16) -> bytes:
    """Integer WAV of samples (n,) or (n, channels) from -1 to 1, written by `wave`."""
    values = np.atleast_2d(np.asarray(samples, float).T).T
    full = 2 ** (bits - 1) - 1
    whole = np.round(values * full).astype("<i4")
    raw = whole.reshape(-1, 1).view(np.uint8).reshape(-1, 4)[:, : bits // 8].tobytes()
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(values.shape[1])
        out.setsampwidth(bits // 8)
        out.setframerate(rate_hz)
        out.writeframes(raw)
    return file.getvalue()


def float_wav(samples, rate_hz: int = 48_000) -> bytes:
    """The same in 32-bit float, which `wave` can't write."""
    values = np.atleast_2d(np.asarray(samples, float).T).T.astype("<f4")
    raw, channels = values.tobytes(), values.shape[1]
    layout = struct.pack("<HHIIHH", 3, channels, rate_hz, rate_hz * channels * 4, channels * 4, 32)
    head = struct.pack("<4sI4s4sI", b"RIFF", 36 + len(raw), b"WAVE", b"fmt ", 16)
    return head + layout + struct.pack("<4sI", b"data", len(raw)) + raw


def sine(level_db: float = -6.0, hz: float = 1000.0, seconds: float = 0.5, rate_hz: int = 48_000):
    """A sine whose peak lies `level_db` from full scale."""
    times = np.arange(round(seconds * rate_hz)) / rate_hz
    return 10 ** (level_db / 20) * np.sin(2 * np.pi * hz * times)
