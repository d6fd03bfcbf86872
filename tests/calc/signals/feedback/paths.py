"""Made paths from a system to a microphone, and loops of them."""

import numpy as np
from scipy.signal import butter, lfilter

from calc.signals.feedback.loop import Loop

FS = 16_000
SIZE = 1 << 16


def made_room(seed: int, decay_s: float = 0.4, late: int = 160) -> np.ndarray:
    """A band-limited path that decays: noise under an exponential, 10 ms and more behind."""
    rng = np.random.default_rng(seed)
    times = np.arange(int(0.3 * FS)) / FS
    row = rng.standard_normal(len(times)) * 10 ** (-3 * times / decay_s)
    row = lfilter(*butter(4, [100, 6000], "band", fs=FS), row)
    row = np.concatenate([np.zeros(late), row])
    return row / np.abs(np.fft.rfft(row, 2 * SIZE)).max()


def ringing_at(*rings: tuple[float, float], seconds: float = 2.0) -> np.ndarray:
    """A path of modes: Hz and level in dB of each, in step with what went in."""
    times = np.arange(int(seconds * FS)) / FS
    modes = [
        10 ** (db / 20) * np.cos(2 * np.pi * hz * times) * np.exp(-9 * times) for hz, db in rings
    ]
    row = np.sum(modes, axis=0)
    row[0] = 0
    return row / np.abs(np.fft.rfft(row, 2 * SIZE)).max()


def loop_of_row(name: str, row: np.ndarray, offset_db: float | None = 0.0) -> Loop:
    hz, response = np.fft.rfftfreq(2 * SIZE, 1 / FS), np.fft.rfft(row, 2 * SIZE)
    return Loop(name, hz, response, np.ones(len(hz), dtype=bool), offset_db)


def closed(row: np.ndarray, gain_db: float, seconds: float = 3.0) -> np.ndarray:
    """What a click becomes in the loop, sample by sample: no frequency enters here."""
    click = np.zeros(int(seconds * FS))
    click[0] = 1.0
    return lfilter([1.0], np.concatenate([[1.0], -(10 ** (gain_db / 20)) * row[1:]]), click)


def grows(row: np.ndarray, gain_db: float, seconds: float = 6.0) -> bool:
    ringing = closed(row, gain_db, seconds)
    third = len(ringing) // 3
    return bool(np.abs(ringing[2 * third :]).max() > np.abs(ringing[third : 2 * third]).max())


def loudest_hz(ringing: np.ndarray) -> float:
    tail = ringing[-FS:] * np.hanning(FS)
    return float(np.abs(np.fft.rfft(tail, 16 * FS)).argmax()) / 16
