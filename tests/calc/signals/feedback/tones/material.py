"""Sound to try the hearing of feedback on: loops that start to ring, and music that must not.

All of it is made, from a seed that is stated with each figure.
"""

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, lfilter

from calc.signals.feedback.rings import rings_of

Floats = NDArray[np.float64]
FS = 16_000
SIZE = 1 << 17
BLOCK = 64


def made_path(seed: int, decay_s: float = 0.4) -> Floats:
    """A path from the system to a microphone: BLOCK samples late, a room that dies away."""
    rng = np.random.default_rng(seed)
    times = np.arange(int(0.3 * FS)) / FS
    row = rng.standard_normal(len(times)) * 10 ** (-3 * times / decay_s)
    row = lfilter(*butter(2, [120, 5000], "band", fs=FS), row)
    return row / np.abs(np.fft.rfft(row, SIZE)).max()


def first_ring(path: Floats) -> tuple[float, float]:
    """Where a path with BLOCK samples of delay rings first, Hz, and its margin, dB."""
    late = np.concatenate([np.zeros(BLOCK), path])
    ring = rings_of(
        np.arange(SIZE // 2 + 1, dtype=np.float64) * (FS / SIZE), np.fft.rfft(late, SIZE)
    )[0]
    return ring.frequency_hz, ring.margin_db


def closing(
    path: Floats, gain_db: Callable[[Floats], Floats], seconds: float, source: Floats
) -> Floats:
    """What a microphone hears while the loop's gain moves; it limits softly at full scale."""
    count = int(seconds * FS) // BLOCK * BLOCK
    gains = 10 ** (gain_db(np.arange(count) / FS) / 20)
    before = BLOCK - 1 + len(path)
    heard = np.zeros(before + count)
    flipped = path[::-1].copy()
    view = np.lib.stride_tricks.sliding_window_view(heard, len(path))
    for start in range(0, count, BLOCK):
        # Row n of the view ends with what was heard BLOCK samples before sample n.
        back = view[start : start + BLOCK] @ flipped
        new = source[start : start + BLOCK] + gains[start : start + BLOCK] * back
        heard[before + start : before + start + BLOCK] = np.tanh(new)
    return heard[before:]


def pink(count: int, rng: np.random.Generator) -> Floats:
    spectrum = np.fft.rfft(rng.standard_normal(count))
    spectrum[1:] /= np.sqrt(np.arange(1, len(spectrum)))
    row = np.fft.irfft(spectrum, count)
    return row / np.std(row)


def music(seconds: float, seed: int) -> Iterator[tuple[str, Floats]]:
    """Pieces of ten kinds in turn, `seconds` in all at FS, none of them feedback."""
    makers = (
        _organ, _vibrato, _flute, _crescendo, _speech, _plucked, _bells, _swell, _bass, _glide,
    )  # fmt: skip
    rng = np.random.default_rng(seed)
    each = 12.0
    for number in range(int(seconds / each)):
        maker = makers[number % len(makers)]
        row = maker(int(each * FS), rng) + 1e-4 * pink(int(each * FS), rng)
        yield maker.__name__.strip("_"), 0.3 * row / max(1e-9, float(np.abs(row).max()))


def _note(
    hz: float, count: int, partials: Floats, wobble_hz: float = 0.0, rate_hz: float = 5.5
) -> Floats:
    times = np.arange(count) / FS
    phase = (
        2
        * np.pi
        * (hz * times + wobble_hz / (2 * np.pi * rate_hz) * np.sin(2 * np.pi * rate_hz * times))
    )
    return sum(
        (a * np.sin((n + 1) * phase) for n, a in enumerate(partials) if (n + 1) * hz < 7500),
        np.zeros(count),
    )


def _envelope(count: int, attack_s: float, release_s: float) -> Floats:
    rise = np.minimum(np.arange(count) / max(1, attack_s * FS), 1)
    fall = np.minimum(np.arange(count)[::-1] / max(1, release_s * FS), 1)
    return rise * fall


def _pitch(rng: np.random.Generator, low: float = 110, high: float = 1760) -> float:
    return float(440 * 2 ** (np.round(12 * np.log2(rng.uniform(low, high) / 440)) / 12))


def _sequence(
    count: int, rng: np.random.Generator, long_s: tuple[float, float], one: Callable[..., Floats]
) -> Floats:
    row, at = np.zeros(count), 0
    while at < count:
        length = min(int(rng.uniform(*long_s) * FS), count - at)
        row[at : at + length] += one(length)
        at += length
    return row


def _organ(count: int, rng: np.random.Generator) -> Floats:
    """Chords of four long notes, from nearly pure stops to full ones."""

    def chord(length: int) -> Floats:
        partials = 10 ** (-rng.uniform(6, 30) * np.arange(6) / 20)
        notes = [_note(_pitch(rng), length, partials) for _ in range(4)]
        return _envelope(length, rng.uniform(0.02, 0.4), 0.1) * np.sum(notes, axis=0)

    return _sequence(count, rng, (1.5, 4.0), chord)


def _vibrato(count: int, rng: np.random.Generator) -> Floats:
    """Sung notes that swell and shake."""

    def note(length: int) -> Floats:
        hz = _pitch(rng, 150, 900)
        row = _note(hz, length, 10 ** (-9 * np.arange(8) / 20), hz * rng.uniform(0.004, 0.03))
        return _envelope(length, rng.uniform(0.05, 1.0), 0.2) * row

    return _sequence(count, rng, (0.5, 3.0), note)


def _flute(count: int, rng: np.random.Generator) -> Floats:
    """Notes with weak harmonics, steady or hardly shaking, from soft to loud."""

    def note(length: int) -> Floats:
        hz = _pitch(rng, 260, 2000)
        partials = np.array(
            [1.0, 10 ** (-rng.uniform(14, 28) / 20), 10 ** (-rng.uniform(20, 34) / 20)]
        )
        return _envelope(length, rng.uniform(0.05, 1.5), 0.2) * _note(
            hz, length, partials, hz * rng.uniform(0, 0.006)
        )

    return _sequence(count, rng, (0.8, 4.0), note)


def _crescendo(count: int, rng: np.random.Generator) -> Floats:
    """Chords that grow by equal factors, 3 to 12 dB a second, as players do."""

    def chord(length: int) -> Floats:
        partials = 10 ** (-rng.uniform(6, 14) * np.arange(8) / 20)
        notes = [_note(_pitch(rng), length, partials, rng.uniform(0, 1)) for _ in range(3)]
        growth = 10 ** (rng.uniform(3, 12) * np.arange(length) / FS / 20)
        return growth / growth[-1] * np.sum(notes, axis=0) * _envelope(length, 0.02, 0.05)

    return _sequence(count, rng, (2.0, 4.0), chord)


def _speech(count: int, rng: np.random.Generator) -> Floats:
    """Syllables: buzzes whose pitch glides, under moving formants, with pauses and hiss."""
    row, at = np.zeros(count), 0
    while at < count:
        length = min(int(rng.uniform(0.08, 0.4) * FS), count - at)
        pitch = rng.uniform(90, 240) * (1 + np.linspace(0, rng.uniform(-0.25, 0.25), length))
        buzz = np.sign(np.sin(2 * np.pi * np.cumsum(pitch) / FS)) + 0.3 * rng.standard_normal(
            length
        )
        low = rng.uniform(300, 900)
        part = lfilter(*butter(2, [low, low * rng.uniform(2, 4)], "band", fs=FS), buzz)
        row[at : at + length] += part * np.hanning(length)
        at += length + int(rng.choice([0, 0, 0.05, 0.3]) * FS)
    return row


def _plucked(count: int, rng: np.random.Generator) -> Floats:
    """Strings that are struck and die away."""

    def note(length: int) -> Floats:
        falls = np.exp(-np.arange(length) / FS / rng.uniform(0.3, 1.5))
        return falls * _note(_pitch(rng), length, 10 ** (-5 * np.arange(10) / 20))

    return _sequence(count, rng, (0.15, 1.0), note)


def _bells(count: int, rng: np.random.Generator) -> Floats:
    """Inharmonic partials that beat."""

    def stroke(length: int) -> Floats:
        base = _pitch(rng, 200, 900)
        times = np.arange(length) / FS
        ratios = (0.5, 1.0, 1.19, 1.56, 2.0, 2.51, 2.66, 3.01)
        tones = [
            np.sin(2 * np.pi * base * r * times + rng.uniform(0, 6))
            * np.exp(-times / rng.uniform(0.5, 3))
            for r in ratios
        ]
        return np.sum(tones, axis=0)

    return _sequence(count, rng, (0.8, 3.0), stroke)


def _swell(count: int, rng: np.random.Generator) -> Floats:
    """Held chords behind a pedal that opens slowly."""

    def chord(length: int) -> Floats:
        partials = 10 ** (-rng.uniform(5, 12) * np.arange(8) / 20)
        notes = [_note(_pitch(rng), length, partials) for _ in range(3)]
        return np.linspace(0.05, 1, length) ** rng.uniform(0.5, 2.5) * np.sum(notes, axis=0)

    return _sequence(count, rng, (1.5, 4.0), chord)


def _bass(count: int, rng: np.random.Generator) -> Floats:
    """Low notes over a drum."""

    def bar(length: int) -> Floats:
        row = _note(_pitch(rng, 60, 130), length, 10 ** (-8 * np.arange(6) / 20))
        hits = rng.standard_normal(length) * (np.exp(-(np.arange(length) % 5600) / 600))
        return _envelope(length, 0.02, 0.05) * row + 0.5 * hits

    return _sequence(count, rng, (0.3, 1.2), bar)


def _glide(count: int, rng: np.random.Generator) -> Floats:
    """Tones that slide from note to note."""

    def slide(length: int) -> Floats:
        hz = np.geomspace(_pitch(rng, 200, 1200), _pitch(rng, 200, 1200), length)
        phase = 2 * np.pi * np.cumsum(hz) / FS
        return _envelope(length, 0.2, 0.2) * (np.sin(phase) + 0.2 * np.sin(2 * phase))

    return _sequence(count, rng, (0.8, 2.5), slide)


def stepped(seed: int, seconds: float = 4.5) -> tuple[Floats, float]:
    """`stepped_over` a made path of the same seed."""
    return stepped_over(made_path(seed), seed, seconds)


def stepped_over(path: Floats, seed: int, seconds: float = 4.5) -> tuple[Floats, float]:
    """A loop in noise whose gain a hand moves by 3 dB to 1 to 4 dB beyond its limit within 0.2 s;
    what the microphone hears, and when the limit was crossed."""
    _, margin = first_ring(path)
    rng = np.random.default_rng(1000 + seed)
    crossed, over = 2.0 + rng.uniform(0, 1), rng.uniform(1, 4)
    source = 0.01 * 10 ** (rng.uniform(-20, 0) / 20) * pink(int((seconds + 1) * FS), rng)

    def gain_db(times: Floats) -> Floats:
        moved = (times - crossed) / 0.2 + 3 / (3 + over)
        return margin - 3 + (3 + over) * np.clip(moved, 0, 1)

    return closing(path, gain_db, seconds, source), crossed
