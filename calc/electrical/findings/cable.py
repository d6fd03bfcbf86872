"""What the cable takes: level, and grip on the cone."""

import math

from calc.electrical.findings.missing import missing_sentence
from calc.electrical.line_figures import BoxFigures, LineFigures
from calc.prediction import Finding, State
from calc.words import number

WISHED_LOSS_DB, MOST_LOSS_DB = 0.5, 1.0
LOSS_SOURCE = "common practice, no source (target 0.5 dB, ceiling 1 dB)"
SUB_DAMPING, OTHER_DAMPING = 20.0, 10.0
DAMPING_SOURCE = "common practice, no source (20 for subs, 10 for others, cable included)"


def cable_loss_finding(figures: LineFigures) -> Finding:
    """Level at the worst box against the amplifier's terminals."""
    worst, box = worst_loss(figures)
    unknown = any(b.loss_db is None for b in figures.boxes)
    if worst is not None and box is not None and worst > MOST_LOSS_DB:
        state: State = "fails"
        sentence = (
            f"{_loss(worst)} lost in the cable to {box.placement}, 1 dB is the most. "
            "Use thicker or shorter cable, or fewer boxes on the run."
        )
    elif unknown or worst is None or box is None:
        state, sentence = "cannot check", missing_sentence(figures, cables=True)
    elif worst > WISHED_LOSS_DB:
        state = "tight"
        sentence = (
            f"{_loss(worst)} lost in the cable to {box.placement}, 0.5 dB is the target. "
            "Thicker or shorter cable helps."
        )
    else:
        state, sentence = "holds", f"at most {_loss(worst)} lost in the cable."
    return Finding(
        subject=figures.line.name,
        check="cable_loss",
        title="Loss in the cable",
        state=state,
        value=worst,
        limit=MOST_LOSS_DB if state == "fails" else WISHED_LOSS_DB,
        unit="dB",
        limit_source=LOSS_SOURCE,
        sentence=f"Line {figures.line.name}: {sentence}",
        working=tuple(_loss_working(figures)),
        assumed=figures.cable_assumptions,
    )


def worst_loss(figures: LineFigures) -> tuple[float | None, BoxFigures | None]:
    """The largest known loss in dB and its box."""
    known = [(box.loss_db, box) for box in figures.boxes if box.loss_db is not None]
    return max(known, key=lambda pair: pair[0], default=(None, None))


def worst_damping(figures: LineFigures) -> tuple[BoxFigures | None, float]:
    """The box with a known damping factor that misses its own limit by most, and that limit."""
    known = [box for box in figures.boxes if box.damping is not None]
    box = min(known, key=lambda one: _margin(one, one.damping), default=None)
    return box, OTHER_DAMPING if box is None else _wished(box)


def damping_finding(figures: LineFigures) -> Finding:
    """Damping factor at the box that misses its own limit by most.

    Without the amplifier's damping factor the cable alone gives an upper bound, which is
    enough to fail on and never enough to pass.
    """
    known = [(_margin(box, box.damping), box) for box in figures.boxes if box.damping is not None]
    at_best = [
        (_margin(box, box.damping_at_best), box)
        for box in figures.boxes
        if box.damping_at_best is not None
    ]
    complete = bool(known) and len(known) == len(figures.boxes)
    worst = min(known or at_best, key=lambda pair: pair[0], default=None)
    value = None
    if worst is not None and (complete or worst[0] < 0.5):
        value = worst[1].damping if known else worst[1].damping_at_best
    state, sentence = _damping_state(figures, value, worst, bool(known))
    return Finding(
        subject=figures.line.name,
        check="damping",
        title="Damping factor at the box",
        state=state,
        value=value,
        limit=_wished(worst[1]) if worst is not None else None,
        unit="1",
        limit_source=DAMPING_SOURCE,
        sentence=f"Line {figures.line.name}: {sentence}",
        working=tuple(_damping_working(figures)),
        assumed=figures.cable_assumptions + _bridge_assumption(figures) + _series(figures),
    )


def _damping_state(
    figures: LineFigures,
    value: float | None,
    worst: tuple[float, BoxFigures] | None,
    with_amplifier: bool,
) -> tuple[State, str]:
    if value is None or worst is None:
        return "cannot check", missing_sentence(figures, cables=True, damping=True)
    margin, box = worst
    kind = "a sub" if box.role == "sub" else "this box"
    shown = number(value) if with_amplifier else f"at most {number(value)}"
    if margin >= 1:
        return "holds", f"damping factor {shown} at {box.placement}, {_wished(box):g} is wished."
    sentence = (
        f"damping factor {shown} at {box.placement}, {kind} should have {_wished(box):g}. "
        "Use thicker or shorter cable."
    )
    return ("fails" if margin < 0.5 else "tight"), sentence


def _wished(box: BoxFigures) -> float:
    return SUB_DAMPING if box.role == "sub" else OTHER_DAMPING


def _margin(box: BoxFigures, damping: float | None) -> float:
    return math.inf if damping is None else damping / _wished(box)


def _series(figures: LineFigures) -> tuple[str, ...]:
    if not any(link.series_with_previous for link in figures.line.links):
        return ()
    return ("Boxes in series count as one box, as equal ones move alike; unequal ones do not.",)


def _bridge_assumption(figures: LineFigures) -> tuple[str, ...]:
    words = {"bridged": "double", "parallel": "half"}.get(figures.line.mode)
    if words is None:
        return ()
    return (f"The {figures.line.mode} source impedance is taken as {words} one channel's.",)


def _loss(loss_db: float) -> str:
    """The same rounding in the sentence and in the working."""
    return f"{loss_db:.2f} dB"


def _loss_working(figures: LineFigures) -> list[str]:
    steps = []
    for box in figures.boxes:
        if box.run.working:
            steps.append(f"To {box.name}: {box.run.working}")
        if box.share is not None and box.loss_db is not None:
            steps.append(
                f"{box.name}: {_loss(box.loss_db)} = 20 lg(V without cable / V at the box), "
                "boxes taken as their rated impedance."
            )
    return steps


def _damping_working(figures: LineFigures) -> list[str]:
    steps = []
    if figures.sheet is not None and figures.sheet.damping_factor.value is not None:
        factor = figures.sheet.damping_factor
        assert factor.value is not None
        steps.append(
            f"Amplifier: damping factor {number(factor.value)} re 8 ohm ({factor.basis}), so "
            f"8 / DF = {number(8 / factor.value)} ohm a channel."
        )
    for box in figures.boxes:
        if box.damping is not None:
            steps.append(
                f"{box.name}: {number(box.damping)} = Z / ((E - V) / I), every box driven alike."
            )
    return steps
