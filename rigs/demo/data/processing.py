"""How the company sets its boxes up: crossovers by model, and what its processors can be set to."""

from rigs.demo.shapes import Box, Dial, Line, Role, Setting
from rigs.systems.plans import FilterPlan

HIGH, LOW = "high-pass", "low-pass"
LINKWITZ, BUTTERWORTH, BESSEL = "Linkwitz-Riley", "Butterworth", "Bessel"

THROUGH_DB: dict[str, float] = {"LF": -1, "HF": -10, "full range": -2, "column": 0}
"""Gain through the processor where each way plays: horn drivers are the most sensitive."""

SUB_HZ = 90.0
"""Where subs hand over to tops."""

CROSSOVER_HZ = {
    "Godwit 12": 1300.0, "Godwit 15": 1200.0, "Godwit 212": 1100.0, "Turnstone 10": 1100.0,
    "Mizzle 15": 1300.0,
}  # fmt: skip


def passed(kind: str, hz: float, family: str = LINKWITZ, order: int = 4) -> FilterPlan:
    """A high or low pass, 24 dB an octave unless said."""
    return FilterPlan(kind, hz, family, order)


def peak(hz: float, gain_db: float, q: float) -> FilterPlan:
    """A peak, or a dip where its gain is below 0."""
    return FilterPlan("peak", hz, gain_db=gain_db, q=q)


def filters_of(box: Box, way: str, role: str, low_hz: float, subs: bool) -> tuple[FilterPlan, ...]:
    """The house's setting of one way; with `subs`, tops hand the bass over to them."""
    crossover = CROSSOVER_HZ.get(box.model)
    if role == Role.SUB:
        return passed(HIGH, low_hz, BUTTERWORTH), passed(LOW, SUB_HZ)
    if way == "HF" and crossover:
        return (passed(HIGH, crossover),)
    hands_over = subs and role in (Role.TOP, Role.LINE_ELEMENT)
    below = passed(HIGH, SUB_HZ) if hands_over else passed(HIGH, low_hz, BUTTERWORTH)
    return (below, passed(LOW, crossover)) if way == "LF" and crossover else (below,)


def inputs_of(line: Line) -> tuple[int, ...]:
    """The right side plays input 2, everything else input 1."""
    return (2,) if line.name.endswith(("right", "right LF", "right HF")) else (1,)


ALL_KINDS = (HIGH, LOW, "peak", "low shelf", "high shelf", "all-pass", "notch")
PLAIN_KINDS = (HIGH, LOW, "peak", "low shelf", "high shelf")

SETTINGS = {
    "Almanac 2-6": Setting(
        sampling_hz=48_000, latency_ms=1.2, filters=5, kinds=PLAIN_KINDS, mixes=True,
        slopes=((BUTTERWORTH, (2, 3, 4)), (LINKWITZ, (2, 4))),
        dials=(
            Dial("gain_db", -40, 12, 0.5), Dial("delay_ms", 0, 650, 0.02),
            Dial("pass_hz", 20, 20_000, 24, octave=True),
            Dial("filter_hz", 20, 20_000, 24, octave=True),
            Dial("filter_gain_db", -15, 12, 0.5), Dial("filter_q", 0.4, 20, 0.1),
            Dial("limiter_dbu", -24, 20, 0.5), Dial("attack_ms", 0.5, 100, 0.5),
            Dial("release_ms", 10, 3000, 10),
        ),
    ),
    "Almanac 4-8": Setting(
        sampling_hz=96_000, latency_ms=1.2, filters=10, kinds=ALL_KINDS, mixes=True,
        bessel="-3 dB",
        slopes=((BUTTERWORTH, (1, 2, 3, 4, 6, 8)), (LINKWITZ, (2, 4, 8)), (BESSEL, (2, 3, 4))),
        dials=(
            Dial("gain_db", -60, 15, 0.1), Dial("delay_ms", 0, 1300, 0.01),
            Dial("pass_hz", 10, 20_000, 96, octave=True),
            Dial("filter_hz", 10, 20_000, 96, octave=True),
            Dial("filter_gain_db", -30, 15, 0.1), Dial("filter_q", 0.3, 40, 0.05),
            Dial("limiter_dbu", -30, 22, 0.1), Dial("attack_ms", 0.1, 200, 0.1),
            Dial("release_ms", 5, 5000, 5),
        ),
    ),
    # Its sheet has no more than this: what it rounds to is found out at the unit.
    "Daybook 2-4": Setting(
        filters=3, slopes=((BUTTERWORTH, (2, 4)), (LINKWITZ, (4,))),
        dials=(Dial("gain_db", -30, 6), Dial("delay_ms", 0, 300), Dial("limiter_dbu", -20, 18, 1)),
    ),
}  # fmt: skip
