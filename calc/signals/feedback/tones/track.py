"""One tone through time, and whether it behaves as feedback does.

Feedback is a sine that stays where it is and grows by equal factors in equal times. What people
play and say moves in frequency, slows down while it grows, or brings harmonics that grow alike.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from calc.signals.feedback.tones.past import Past
from calc.signals.feedback.tones.peaks import Floats, Spectrum
from calc.signals.feedback.tones.scales import JUST, Rule, Scale

FRAMES, LEAST_FRAMES, YOUNG = 12, 6, 3
"""So many looks at a tone are remembered, so many tell whether it stays where it is. Notes that
begin together are counted as company by so many looks sooner."""

MOST_BEHIND_DB = 30.0
"""dB behind the loudest peak of the moment: until there it does not matter yet."""

CHORD = 2
"""So many others that grow just alike make it part of a chord: each ring has its own growth."""

PARTNER_DB = -38.0
"""dB re the tone: a partner above this that grows alike makes it a note."""

NEW_DB = 10.0
"""dB above what sounded there before it grew: what comes back to where it was is played."""

ALONE = ((3, -12.0, 1.0), (6, -15.0, 0.2))
"""A clear tone is alone with no more than so many others beside it, nothing louder than so many dB
re the tone at its harmonics' places, and no further off a line: what grows more evenly may have
more beside it. By trial."""


@dataclass(slots=True)
class Track:
    """A tone as it was seen, frame by frame: Hz, dB, and the dB at its harmonics' places."""

    scale: Scale
    hz: list[float] = field(default_factory=list)
    db: list[float] = field(default_factory=list)
    harmonics: list[Floats] = field(default_factory=list)
    behind_db: float = 0.0
    clear: bool = False
    others: int = 0
    first_s: float = 0.0
    last_s: float = 0.0
    missed: int = 0
    runs: dict[Rule, int] = field(default_factory=dict)
    called: bool = False
    called_s: float = 0.0
    growth_db_per_s: float = 0.0

    def see(self, spectrum: Spectrum, at: int, time_s: float) -> None:
        """Add a frame: one of its peaks."""
        if not self.hz:
            self.first_s = time_s
        self.hz.append(float(spectrum.hz[at]))
        self.db.append(float(spectrum.db[at]))
        self.harmonics.append(spectrum.harmonics_db[at])
        self.behind_db = float(spectrum.db[0] - spectrum.db[at])
        self.clear, self.others = bool(spectrum.clear[at]), int(spectrum.others[at])
        del self.hz[:-FRAMES], self.db[:-FRAMES], self.harmonics[:-FRAMES]
        self.last_s, self.missed = time_s, 0

    def decide(self, others: Sequence["Track"], past: Past) -> bool:
        """Whether it is feedback by now, beside the others of its look; once it is, it stays so."""
        if self.called:
            return True
        hz = self.hz[-LEAST_FRAMES:]
        stays = max(hz) - min(hz) <= self.scale.drift_hz and self.behind_db <= MOST_BEHIND_DB
        for rule in self.scale.rules:
            follows = stays and self._follows(rule, others, past)
            self.runs[rule] = self.runs.get(rule, 0) + 1 if follows else 0
            self.called |= self.runs[rule] >= rule.in_a_row
        if self.called:
            self.called_s = self.last_s
        return self.called

    def line(self, frames: int) -> tuple[float, float]:
        """Slope of the level over so many frames, dB/s, and how far off a line it is, dB rms."""
        level = np.array(self.db[-frames:])
        slope = float(_slopes(level, self.scale.step_s))
        time = (np.arange(frames) - (frames - 1) / 2) * self.scale.step_s
        return slope, float(np.sqrt(np.mean((level - level.mean() - slope * time) ** 2)))

    def _follows(self, rule: Rule, others: Sequence["Track"], past: Past) -> bool:
        level = self.db[-rule.frames :]
        if len(level) < rule.frames or level[-1] - level[0] < rule.rise_db:
            return False
        slope, bend = self.line(rule.frames)
        if slope < rule.db_per_s or bend > rule.bend_db:
            return False
        if rule.alone and not self._is_alone(bend):
            return False
        grown_s = rule.frames * self.scale.step_s + self.scale.window_s
        if level[-1] < past.highest_db(self.hz[-1], self.last_s - grown_s) + NEW_DB:
            return False
        half = rule.frames // 2
        if level[-1] - level[-1 - half] < rule.slowing * (level[half] - level[0]):
            return False
        self.growth_db_per_s = slope
        low, high = (share * slope for share in rule.alike)
        return not self._has_harmonics(low, high) and not self._in_a_chord(rule, slope, others)

    def _in_a_chord(self, rule: Rule, slope: float, others: Sequence["Track"]) -> bool:
        """Several others grow just as this one does."""
        low, high = (share * slope for share in JUST)
        grow = [
            one.line(min(rule.frames, len(one.db)))[0]
            for one in others
            if one is not self and not one.missed and len(one.db) >= rule.frames - YOUNG
        ]
        return sum(low < growth < high for growth in grow) >= CHORD

    def _is_alone(self, bend_db: float) -> bool:
        """By the last look."""
        partner = float(self.harmonics[-1].max()) - self.db[-1]
        return self.clear and any(
            self.others <= most and partner <= loudest and bend_db <= bend
            for most, loudest, bend in ALONE
        )

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
