"""Listening while the gain is raised: blocks of samples in, tones that are feedback out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.signal import firwin, lfilter

from calc.signals.feedback.tones.past import Past
from calc.signals.feedback.tones.peaks import Floats, Spectrum, spectrum_of, window_of
from calc.signals.feedback.tones.scales import SCALES, Scale
from calc.signals.feedback.tones.track import Track

INNER_HZ = 22_050.0
"""Hz. Above twice of it there is nothing to hear: higher rates are thinned out."""

FORGET = 3
"""Frames: a tone that was not seen for so long has ended."""

TAPS = 63
RATES_HZ = (8000.0, 192_000.0)
SAME_HZ = 8.0
SAME_TURNS = 1.0
"""Tones that lie nearer than so many turns in a window are one to it."""


@dataclass(frozen=True, slots=True)
class Tone:
    """A tone that is feedback: where, how loud (dB re a full-scale sine), since when.

    `growth_db_per_s` is that when it was called, `called_s` when that was, `first_s` when it was
    first seen; seconds from the listener's first sample.
    """

    frequency_hz: float
    level_db: float
    growth_db_per_s: float
    first_s: float
    called_s: float
    last_s: float

    @property
    def says(self) -> str:
        """In a sentence."""
        return (
            f"{self.frequency_hz:.0f} Hz grows by {self.growth_db_per_s:.0f} dB a second: turn "
            "down."
        )


class Listener:
    """Hears blocks of one channel, of any length, one after the other.

    It may be put away between blocks (pickled): 60 kB. `heard_s` is how much it has heard.
    Raises ValueError in words where the rate is none that sound has.
    """

    def __init__(self, sampling_hz: float) -> None:
        if not RATES_HZ[0] <= sampling_hz <= RATES_HZ[1]:
            raise ValueError(
                f"sound has {RATES_HZ[0] / 1000:g} to {RATES_HZ[1] / 1000:g} kHz, not "
                f"{sampling_hz:g} Hz"
            )
        self._thin = max(1, int(sampling_hz // INNER_HZ))
        self._taps = firwin(TAPS, 0.9 / self._thin) if self._thin > 1 else np.ones(1)
        self._state = np.zeros(len(self._taps) - 1)
        self._skip = 0
        self._looks = [_Look(scale, sampling_hz / self._thin) for scale in SCALES]
        self._row = np.zeros(0, dtype=np.float32)
        self._hz = sampling_hz
        self.heard_s = 0.0

    def hear(self, block: ArrayLike) -> tuple[Tone, ...]:
        """The tones that are feedback by now, worst (loudest) first.

        Raises
        ------
        ValueError
            In words: not one row of numbers.
        """
        samples = np.asarray(block, dtype=np.float64)
        if samples.ndim != 1 or not np.isfinite(samples).all():
            raise ValueError("a block is one row of numbers")
        self.heard_s += len(samples) / self._hz
        self._row = np.concatenate([self._row, self._thinned(samples).astype(np.float32)])
        for look in self._looks:
            look.through(self._row)
        done = min(look.begin for look in self._looks)
        self._row = self._row[done:]
        for look in self._looks:
            look.begin -= done
        return tuple(sorted(_together(self._looks), key=lambda tone: -tone.level_db))

    def standing(self) -> tuple[tuple[float, float], ...]:
        """(Hz, dB re a full-scale sine) of the clear tones of the last half second, loudest
        first: feedback or not. Feedback that has reached the limiters stands without growing.
        """
        hz, db = self._looks[0].clear
        return tuple(zip(hz.tolist(), db.tolist(), strict=True))

    def _thinned(self, samples: Floats) -> Floats:
        if self._thin == 1 or not len(samples):
            return samples
        smooth, self._state = lfilter(self._taps, np.ones(1), samples, zi=self._state)
        kept: Floats = smooth[self._skip :: self._thin]
        self._skip = (self._skip - len(samples)) % self._thin
        return kept


class _Look:
    """Frames of one scale, and the tones in them. The next frame starts at `begin` of a row.

    `clear` are the clear tones of the last frame, Hz and dB, loudest first.
    """

    def __init__(self, scale: Scale, sampling_hz: float) -> None:
        self.scale, self.tracks = scale, list[Track]()
        self.begin = 0
        self.clear: tuple[Floats, Floats] = (np.zeros(0), np.zeros(0))
        self._past = Past()
        self._hz = sampling_hz
        self._size = round(scale.window_s * sampling_hz)
        self._step = round(scale.step_s * sampling_hz)
        self._frames = 0

    def through(self, row: NDArray[np.float32]) -> None:
        """Look at every frame that is complete by now."""
        while self.begin + self._size <= len(row):
            self._look(row[self.begin : self.begin + self._size].astype(np.float64))
            self.begin += self._step

    def _look(self, frame: Floats) -> None:
        time_s = self._frames * self._step / self._hz + self.scale.window_s
        self._frames += 1
        spectrum = spectrum_of(frame, window_of(self._size), self._hz)
        self.clear = spectrum.hz[spectrum.clear], spectrum.db[spectrum.clear]
        self._follow(spectrum, time_s)
        for track in self.tracks:
            if not track.missed:
                track.decide(self.tracks, self._past)
        self._past.keep(spectrum, time_s)

    def _follow(self, spectrum: Spectrum, time_s: float) -> None:
        """Each peak goes on with the tone that is nearest to it, or begins one."""
        free = set(range(len(spectrum.hz)))
        for track in self.tracks:
            track.missed += 1
        if self.tracks and free:
            places = np.array([track.hz[-1] for track in self.tracks])
            apart = np.abs(places[:, None] - spectrum.hz)
            nearest = apart.argmin(axis=1).tolist()
            within = (apart.min(axis=1) <= self.scale.near_hz).tolist()
            for track, at, is_near in zip(self.tracks, nearest, within, strict=True):
                if is_near and at in free:
                    free.remove(at)
                    track.see(spectrum, at, time_s)
        self.tracks = [track for track in self.tracks if track.missed < FORGET]
        for at in sorted(free):
            track = Track(self.scale)
            track.see(spectrum, at, time_s)
            self.tracks.append(track)


def _together(looks: Sequence[_Look]) -> Iterator[Tone]:
    """What the longest look called; what only a shorter one did, unless it is one of those."""
    found: list[Track] = []
    for look in looks:
        for track in look.tracks:
            near = SAME_TURNS / track.scale.window_s
            if track.called and all(abs(track.hz[-1] - one.hz[-1]) > near for one in found):
                found.append(track)
    for track in found:
        yield Tone(
            track.hz[-1], track.db[-1], track.growth_db_per_s, track.first_s, track.called_s,
            track.last_s,
        )  # fmt: skip


def listen(samples: ArrayLike, sampling_hz: float) -> tuple[Tone, ...]:
    """All tones of a recording (n,) that were feedback, in the order in which they were called."""
    row = np.asarray(samples, dtype=np.float64)
    if row.ndim != 1:
        raise ValueError("a recording to listen through is one row of numbers")
    listener = Listener(sampling_hz)
    called: list[Tone] = []
    step = max(1, round(0.25 * sampling_hz))
    for start in range(0, len(row), step):
        _note_down(called, listener.hear(row[start : start + step]))
    return tuple(sorted(called, key=lambda tone: tone.called_s))


def _note_down(called: list[Tone], now: Sequence[Tone]) -> None:
    """Bring what was called up to date: a tone that is near one of before is that one, as the
    long look names it better than the short one that called it."""
    free = list(range(len(called)))
    for tone in now:
        at = min(free, key=lambda n: abs(called[n].frequency_hz - tone.frequency_hz), default=None)
        if at is None or abs(called[at].frequency_hz - tone.frequency_hz) > SAME_HZ:
            called.append(tone)
            continue
        free.remove(at)
        first = min(called[at].called_s, tone.called_s)
        called[at] = replace(tone, called_s=first)
