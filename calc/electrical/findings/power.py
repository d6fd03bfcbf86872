"""Is the amplifier too small or too big for the boxes on the line?"""

import math

from calc.electrical.findings.missing import missing_sentence
from calc.electrical.findings.peak import crest_headroom_db
from calc.electrical.limiters import rated_volts
from calc.electrical.line_figures import BoxFigures, LineFigures
from calc.prediction import Finding, State
from calc.words import level, number

WISHED_LOW, WISHED_HIGH, MOST = 1.5, 2.0, 4.0
POWER_SOURCE = "common practice, no source (1.5 to 2 times); IEC 60268-5 noise peaks (4 times)"

WISHED_HEADROOM_DB, LEAST_HEADROOM_DB = 1.8, -3.0
HEADROOM_SOURCE = "common practice, no source (1.5 times the rating is 1.8 dB)"

# 1.5 times eight boxes is not exactly 1.5 times in binary.
ROUNDING = 1e-9


def power_finding(figures: LineFigures) -> Finding:
    """Amplifier power on the line against the boxes' rated noise power.

    The low bound over the sum of the ratings says whether it is too small, the high bound
    over the rating of the most endangered box whether it is too big.
    """
    ratios = _ratios(figures)
    if ratios is None:
        state: State = "cannot check"
        sentence = missing_sentence(figures, ratings=True, volts=True)
        value = None
    else:
        low, high = ratios
        state, sentence = _power_state(low, high)
        value = high if high > WISHED_HIGH else low
    return Finding(
        subject=figures.line.name,
        check="power",
        title="Amplifier power",
        state=state,
        value=value,
        limit=WISHED_HIGH if value is not None and value > WISHED_HIGH else WISHED_LOW,
        unit="times rated",
        limit_source=POWER_SOURCE,
        sentence=f"Line {figures.line.name}: {sentence}",
        working=tuple(_power_working(figures)),
        assumed=figures.bounds.assumed,
    )


def headroom_finding(figures: LineFigures) -> Finding:
    """Amplifier's low-bound volts at the worst box, after its cable, over its rated volts."""
    worst = worst_headroom(figures)
    if worst is None:
        state: State = "cannot check"
        sentence = missing_sentence(figures, ratings=True, cables=True, volts=True)
        value, working = None, []
    else:
        box, value = worst
        state, sentence = _headroom_state(value, box.placement)
        working = _headroom_working(figures, box, value)
    return Finding(
        subject=figures.line.name,
        check="headroom",
        title="Headroom",
        state=state,
        value=value,
        limit=WISHED_HEADROOM_DB,
        unit="dB",
        limit_source=HEADROOM_SOURCE,
        sentence=f"Line {figures.line.name}: {sentence}",
        working=tuple(working),
        assumed=figures.bounds.assumed + figures.cable_assumptions,
    )


def worst_headroom(figures: LineFigures) -> tuple[BoxFigures, float] | None:
    """The box with the least headroom and its headroom in dB; None if one is unknown."""
    if figures.bounds.low_v is None or not figures.boxes:
        return None
    found: list[tuple[float, int]] = []
    for index, box in enumerate(figures.boxes):
        rated = rated_volts(box.way)
        if rated is None or box.share is None:
            return None
        found.append((20 * math.log10(figures.bounds.low_v * box.share / rated), index))
    headroom, index = min(found)
    return figures.boxes[index], headroom


def _ratios(figures: LineFigures) -> tuple[float, float] | None:
    low = figures.power_w(figures.bounds.low_v)
    total, rated, high_v = figures.noise_power_w, figures.rated_v, figures.bounds.high_v
    if low is None or total is None or rated is None or high_v is None:
        return None
    return low / total, (high_v / rated) ** 2


def _power_state(low: float, high: float) -> tuple[State, str]:
    if high > MOST * (1 + ROUNDING):
        return (
            "fails",
            f"the amplifier can give a box {number(high)} times its noise rating, more than its "
            "peaks bear (4 times). Use a smaller amplifier or more boxes per channel.",
        )
    if low < 1 - ROUNDING:
        return (
            "tight",
            f"the amplifier gives {number(low)} times the rated noise power: it clips before the "
            "boxes reach their rating. Keep the clip lamps dark or use a bigger amplifier.",
        )
    if high > WISHED_HIGH * (1 + ROUNDING):
        return (
            "tight",
            f"the amplifier can give a box {number(high)} times its noise rating: only the "
            "limiter stands between them. Set it before the first signal.",
        )
    if low < WISHED_LOW * (1 - ROUNDING):
        return (
            "tight",
            f"the amplifier gives {number(low)} times the rated noise power, 1.5 to 2 is usual: "
            "peaks clip early. Leave room when driving it.",
        )
    return "holds", f"the amplifier gives {number(low)} times the rated noise power."


def _headroom_state(headroom: float, placement: str) -> tuple[State, str]:
    shown = level(headroom)
    if headroom >= WISHED_HEADROOM_DB - 1e-6 or math.isclose(headroom, 10 * math.log10(1.5)):
        return "holds", f"{shown} of headroom at {placement}."
    if headroom >= 0:
        return (
            "tight",
            f"{shown} of headroom at {placement}, 1.8 dB is usual: peaks clip early. "
            "Leave room when driving it.",
        )
    if headroom >= LEAST_HEADROOM_DB:
        return (
            "tight",
            f"{shown} of headroom at {placement}: the amplifier clips before the box reaches its "
            "rating, with less than half of the power missing. Expect less level from this line.",
        )
    return (
        "fails",
        f"{shown} of headroom at {placement}: less than half of the rated power arrives, and a "
        "line that falls short gets driven into clipping. Use a bigger amplifier, fewer boxes "
        "or thicker cable.",
    )


def _power_working(figures: LineFigures) -> list[str]:
    steps = [figures.bounds.working] if figures.bounds.working else []
    low, high = figures.power_w(figures.bounds.low_v), figures.power_w(figures.bounds.high_v)
    if low is not None and high is not None:
        crest = figures.choices.crest_factor_db
        clean = 2 * low * 10 ** (-crest / 10)
        watts = number(low) if math.isclose(low, high) else f"{number(low)} to {number(high)}"
        steps.append(f"P = V² / Z on the line: {watts} W of sine.")
        steps.append(
            f"Music with a crest factor of {number(crest)} dB stays clean up to a mean power of "
            f"{number(clean)} W (peaks at the sine's peak)."
        )
    for box in figures.boxes:
        volts, power = rated_volts(box.way), box.way.noise_power_w
        if volts is not None and power.value is not None:
            steps.append(
                f"{box.name}: {number(power.value)} W noise ({power.basis}), "
                f"{number(volts)} V = sqrt(P Z)."
            )
    if figures.noise_power_w is not None:
        steps.append(f"Sum of the noise ratings: {number(figures.noise_power_w)} W.")
    return steps


def _headroom_working(figures: LineFigures, box: BoxFigures, headroom: float) -> list[str]:
    low, loss, rated = figures.bounds.low_v, box.loss_db, rated_volts(box.way)
    assert low is not None and loss is not None and rated is not None
    crest, room = figures.choices.crest_factor_db, crest_headroom_db(figures)
    steps = [
        figures.bounds.working,
        f"{box.name}: {number(low, 4)} V less {loss:.2f} dB in the cable, against "
        f"{number(rated, 4)} V rated: 20 lg(V / V rated) = {level(headroom)}.",
    ]
    if room is not None:
        steps.append(
            f"A programme of {number(crest)} dB crest factor at the rated rms volts needs "
            f"{number(rated * 10 ** (crest / 20), 4)} V of peaks: the amplifier's peaks lie "
            f"{level(abs(room))} {'above' if room >= 0 else 'below'} that"
            + ("." if room >= 0 else ", so its mean level stays that much below the rating.")
        )
    return steps
