"""How closely one looks at tones, and how they must have grown to be feedback. All by trial."""

from dataclasses import dataclass

ROUGHLY, JUST = (0.4, 1.7), (0.95, 1.05)
"""1. Shares of a tone's growth. Where a look is so short that noise moves every slope, only what
grows just alike is a partner: rings grow together too, but each by its own."""


@dataclass(frozen=True, slots=True)
class Rule:
    """How a tone must have grown: over so many frames, dB/s, dB in all, dB rms off a line.

    `slowing` is the least share of its first half's growth that its second half has; no
    harmonic may grow `alike`, by so much of the tone's own growth. Some hold only for a tone that
    is `alone`. It must go on `in_a_row` frames long.
    """

    frames: int
    db_per_s: float
    rise_db: float
    bend_db: float
    slowing: float
    alike: tuple[float, float]
    alone: bool = False
    in_a_row: int = 3


def alone(frames: int, db_per_s: float, rise_db: float, bend_db: float) -> Rule:
    """Where little else sounds one may be keener than beside music."""
    return Rule(frames, db_per_s, rise_db, bend_db, 0.7, ROUGHLY, alone=True, in_a_row=2)


@dataclass(frozen=True, slots=True)
class Scale:
    """How closely one looks: windows and steps in s, how far a tone may move in Hz, the rules."""

    window_s: float
    step_s: float
    near_hz: float
    drift_hz: float
    rules: tuple[Rule, ...]


LONG = Scale(
    0.5,
    0.05,
    2.0,
    1.2,
    (
        Rule(8, 20.0, 7.0, 0.35, 0.97, ROUGHLY),
        alone(8, 9.0, 2.5, 0.6),
    ),
)
"""Tells tones apart that lie 8 Hz apart or more (MATH: 4 / 0.5 s), and hears slow growth:
straight in dB and without harmonics."""

MIDDLE = Scale(0.25, 0.03, 3.0, 2.0, (alone(8, 14.0, 3.0, 0.6),))
"""Between the two."""

SHORT = Scale(
    0.128,
    0.016,
    5.0,
    4.0,
    (
        Rule(9, 60.0, 8.0, 0.3, 0.97, ROUGHLY),
        alone(8, 30.0, 4.0, 0.5),
    ),
)
"""A loop with little delay is at its limit within half a second: only a short look sees it
grow. Nothing that is played rises so steeply by equal factors."""

TINY = Scale(0.05, 0.006, 12.0, 10.0, (Rule(9, 120.0, 8.0, 0.35, 0.97, JUST, alone=True),))
"""In a small room a loop is at full level within two tenths of a second."""

SCALES = (LONG, MIDDLE, SHORT, TINY)
"""The longest first: it names a tone best."""
