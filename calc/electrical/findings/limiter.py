"""Where the limiter must stand, and whether it can do its work."""

from calc.electrical.findings.missing import missing_sentence
from calc.electrical.gain import dbu, volts_of_dbu
from calc.electrical.limiters import (
    Thresholds,
    Times,
    limiter_times,
    lowest_volts,
    peak_volts,
    rounded_down,
    thresholds,
)
from calc.electrical.line_figures import LineFigures
from calc.prediction import Finding, State
from calc.words import level, number

SAME = 1e-9
SHOWN_STEP_DB = 0.01
SOURCES = {
    "continuous": "rated noise power of the weakest box, IEC 60268-5 (6 dB crest)",
    "programme": "programme power of the weakest box: common practice, no source",
}


def limiter_thresholds(figures: LineFigures) -> Thresholds | None:
    """Thresholds of a line; None where gain or ratings are unknown."""
    peak = lowest_volts([box.at_amplifier(peak_volts(box.way)) for box in figures.boxes])
    if figures.limiter_v is None or peak is None or figures.gain.db is None:
        return None
    return thresholds(
        figures.limiter_v,
        peak,
        figures.gain.db,
        figures.line.level_control_db,
        figures.limiter_step_db,
    )


def times_of(figures: LineFigures) -> Times:
    """Attack and release of a line's limiter."""
    line = figures.line
    return limiter_times([box.way for box in figures.boxes], line.attack_ms, line.release_ms)


def limiter_finding(figures: LineFigures) -> Finding:
    """The threshold to set at the processor's output, and what could keep it from acting.

    An instruction: nobody has said what is set, so that nothing that is set was checked.
    """
    found = limiter_thresholds(figures)
    if found is None:
        state: State = "cannot check"
        sentence = "no limiter setting, " + _lacking(figures)
    else:
        state, sentence = _judged(figures, found)
    maximum = None if figures.processor is None else figures.processor.max_output_dbu.value
    return Finding(
        subject=figures.line.name,
        check="limiter",
        title="Limiter to set",
        state=state,
        value=None if found is None else found.rms_dbu,
        limit=maximum,
        unit="dBu",
        limit_source=SOURCES[figures.limiter_basis],
        sentence=f"Line {figures.line.name}: {sentence}",
        working=tuple(_working(figures, found)),
        assumed=figures.gain.assumed + figures.bounds.assumed + _slower(figures),
    )


def _lacking(figures: LineFigures) -> str:
    missing = missing_sentence(figures, ratings=True, gain=True)
    if figures.limiter_basis == "programme" and figures.rated_v is not None:
        for box in figures.boxes:
            if not box.way.programme_power_w.known:
                return (
                    f"the programme power of {box.name} is unknown. Enter it on its data sheet "
                    "or go back to the continuous power."
                )
    return missing


def _slower(figures: LineFigures) -> tuple[str, ...]:
    """A chosen attack that is longer than the rule's lets more heat through."""
    chosen = figures.line.attack_ms
    by_rule = limiter_times([box.way for box in figures.boxes]).attack_ms
    if chosen is None or by_rule is None or chosen <= by_rule:
        return ()
    return (
        f"The attack of {number(chosen)} ms, chosen by hand, is longer than the {number(by_rule)} "
        "ms of the rule: the boxes get hotter before the limiter acts.",
    )


def _judged(figures: LineFigures, found: Thresholds) -> tuple[State, str]:
    setting = f"Set {setting_words(found.rms_dbu, found.peak_dbu)} at the processor's output"
    if figures.line.level_control_db:
        setting += f" with the level control at {number(figures.line.level_control_db)} dB"
    if figures.limiter_basis == "programme":
        setting += f" (by programme power, as {_decider(figures)} decided)"
    low, rated = figures.bounds.low_v, figures.limiter_v
    assert rated is not None
    if low is None:
        return (
            "cannot check",
            f"{setting}; whether the amplifier clips first is not known, because "
            f"{figures.bounds.missing} is unknown.",
        )
    if low < rated * (1 - SAME):
        return (
            "tight",
            f"{setting}. The amplifier clips at {number(low, 4)} V before the limiter acts at "
            f"{number(rated, 4)} V: it does not keep this amplifier from clipping.",
        )
    processor = figures.processor
    if processor is not None and processor.max_output_dbu.value is not None:
        maximum = processor.max_output_dbu.value
        if maximum < found.rms_dbu:
            return (
                "tight",
                f"{setting}, but the processor's output ends at {level(maximum, 'dBu')}: the line "
                "cannot reach its rating. Turn the amplifier's level control up or use one with "
                "more gain.",
            )
    if figures.limiter_basis == "programme":
        return (
            "tight",
            f"{setting}: more than the boxes bear all the time. Watch their temperature.",
        )
    return "holds", f"{setting}: what stands there now is not known here."


def _decider(figures: LineFigures) -> str:
    if figures.line.limiter_basis is not None:
        return figures.line.limiter_basis_by
    return figures.choices.limiter_basis_by


def setting_words(rms_dbu: float, peak_dbu: float) -> str:
    """Both thresholds as somebody would set them, never above what was computed."""
    return f"{_set(rms_dbu)} dBu rms and {_set(peak_dbu)} dBu peak"


def _set(value: float) -> str:
    """One decimal, or two (rounded down) where the processor's step needs them."""
    if abs(value * 10 - round(value * 10)) < 1e-6:
        return f"{value:.1f}"
    return f"{rounded_down(value, SHOWN_STEP_DB):.2f}"


def _working(figures: LineFigures, found: Thresholds | None) -> list[str]:
    steps = [figures.gain.working] if figures.gain.working else []
    if found is None or figures.limiter_v is None:
        return steps
    basis = "rated" if figures.limiter_basis == "continuous" else "programme"
    steps.append(
        f"Lowest {basis} voltage on the line: {number(figures.limiter_v, 4)} V rms = "
        f"{dbu(figures.limiter_v):.2f} dBu (re 0.7746 V); no credit for the cable."
    )
    steps.append(
        f"Less the gain, plus {number(-figures.line.level_control_db)} dB of level control: "
        f"{found.exact_rms_dbu:.2f} dBu rms, {found.exact_peak_dbu:.2f} dBu peak."
    )
    step = figures.limiter_step_db
    steps.append(
        "The processor's step is unknown: enter the next lower value that it has."
        if step is None
        else f"Rounded down to steps of {number(step)} dB."
    )
    steps.append(times_of(figures).working)
    if figures.gain.db is not None:
        ceiling = None if figures.processor is None else figures.processor.max_output_dbu.value
        if ceiling is not None:
            reach = volts_of_dbu(ceiling + figures.gain.db + figures.line.level_control_db)
            steps.append(
                f"The processor's most, {level(ceiling, 'dBu')}, would ask the amplifier for "
                f"{number(reach, 4)} V."
            )
    return steps
