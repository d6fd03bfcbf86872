"""One tone through time, and whether it behaves as feedback does.

Feedback is a sine that stays where it is and grows by equal factors in equal times. What people
play and say moves in frequency, slows down while it grows, or brings harmonics that grow alike.
"""

from dataclasses import dataclass, field

import numpy as np

from calc.signals.feedback.tones.peaks import Floats, Spectrum

IN_A_ROW = 3
"""Frames: so long it must go on."""

FRAMES, LEAST_FRAMES = 9, 6
"""So many looks at a tone are remembered."""

MOST_BEHIND_DB = 20.0
"""dB behind the loudest peak of the moment: until there it does not matter yet."""


ROUGHLY, JUST = (0.4, 1.7), (0.95, 1.05)
"""1. What is straight needs only a look at harmonics that grow just alike: rings grow together
too, but each by its own."""


@dataclass(frozen=True, slots=True)
class Rule:
    """How a tone must have grown: over so many frames, dB/s, dB in all, dB rms off a line.

    `slowing` is the least share of its first half's growth that its second half has; no
    harmonic may grow `alike`, by so much of the tone's own growth.
    """

    frames: int
    db_per_s: float
    rise_db: float
    bend_db: float
    slowing: float
    alike: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Scale:
    """How closely one looks: windows and steps in s, how far a tone may move in Hz, the rules."""

    window_s: float
    step_s: float
    near_hz: float
    drift_hz: float
    rules: tuple[Rule, ...]


LONG = Scale(0.5, 0.05, 2.0, 1.2, (Rule(8, 20.0, 7.0, 0.35, 0.97, ROUGHLY),
                                   Rule(9, 18.0, 6.0, 0.15, 0.95, JUST)))  # fmt: skip
"""Tells tones apart that lie 8 Hz apart or more (MATH: 4 / 0.5 s), and hears slow growth:
straight in dB and without harmonics, or so straight that nothing played is. By trial."""

SHORT = Scale(
    0.128,
    0.016,
    5.0,
    4.0,
    (Rule(9, 60.0, 8.0, 0.3, 0.97, ROUGHLY), Rule(9, 50.0, 6.0, 0.1, 0.95, JUST)),
)
"""A loop with little delay is at its limit within half a second: only a short look sees it
grow. Nothing that is played rises so steeply by equal factors. By trial."""

MIDDLE = Scale(0.25, 0.03, 3.0, 2.0, (Rule(9, 28.0, 6.0, 0.12, 0.95, JUST),))
"""Between the two. By trial."""

PARTNER_DB = -38.0
"""dB re the tone: a partner above this that grows alike makes it a note."""

HARMONICS = (2.0, 3.0, 0.5, 1 / 3, 1.5, 2 / 3)


@dataclass(slots=True)
class Track:
    """A tone as it was seen, frame by frame: Hz, dB, and the dB at its harmonics' places."""

    scale: Scale
    hz: list[float] = field(default_factory=list)
    db: list[float] = field(default_factory=list)
    harmonics: list[tuple[float, ...]] = field(default_factory=list)
    behind_db: float = 0.0
    first_s: float = 0.0
    last_s: float = 0.0
    missed: int = 0
    in_a_row: int = 0
    called: bool = False
    called_s: float = 0.0
    growth_db_per_s: float = 0.0

    def see(self, hz: float, db: float, spectrum: Spectrum, time_s: float) -> None:
        """Add a frame."""
        if not self.hz:
            self.first_s = time_s
        self.hz.append(hz)
        self.db.append(db)
        self.harmonics.append(tuple(spectrum.near(hz * ratio) for ratio in HARMONICS))
        self.behind_db = float(spectrum.db[0]) - db
        del self.hz[:-FRAMES], self.db[:-FRAMES], self.harmonics[:-FRAMES]
        self.last_s, self.missed = time_s, 0

    def decide(self) -> bool:
        """Whether it is feedback by now; once it is, it stays so."""
        if self.called:
            return True
        hz = self.hz[-LEAST_FRAMES:]
        stays = max(hz) - min(hz) <= self.scale.drift_hz and self.behind_db <= MOST_BEHIND_DB
        follows = stays and any(self._follows(rule) for rule in self.scale.rules)
        self.in_a_row = self.in_a_row + 1 if follows else 0
        if self.in_a_row >= IN_A_ROW:
            self.called, self.called_s = True, self.last_s
        return self.called

    def _follows(self, rule: Rule) -> bool:
        level = np.array(self.db[-rule.frames :])
        if len(level) < rule.frames or level[-1] - level[0] < rule.rise_db:
            return False
        slope = float(_slopes(level, self.scale.step_s))
        if slope < rule.db_per_s:
            return False
        time = (np.arange(rule.frames) - (rule.frames - 1) / 2) * self.scale.step_s
        if float(np.sqrt(np.mean((level - level.mean() - slope * time) ** 2))) > rule.bend_db:
            return False
        half = rule.frames // 2
        if level[-1] - level[-1 - half] < rule.slowing * (level[half] - level[0]):
            return False
        self.growth_db_per_s = slope
        low, high = (share * slope for share in rule.alike)
        return not self._has_harmonics(low, high)

    def _has_harmonics(self, low: float, high: float) -> bool:
        """A harmonic, or one of which it is a harmonic, grows alike."""
        levels = np.array(self.harmonics)
        grow = _slopes(levels, self.scale.step_s)
        loud = levels[-1] > self.db[-1] + PARTNER_DB
        return bool((loud & (grow > low) & (grow < high)).any())


def _slopes(levels: Floats, step_s: float) -> Floats:
    """Least squares of rows (frames,) or (frames, several) over time, dB/s."""
    time = (np.arange(len(levels)) - (len(levels) - 1) / 2) * step_s
    found: Floats = time @ levels / (time @ time)
    return found
