"""One finding for each stage microphone."""

import math

from calc.acoustics.gain_before_feedback.paths import OCTAVES_HZ
from calc.acoustics.gain_before_feedback.textbook import shared_db
from calc.constants import FEEDBACK_MARGIN_DB
from calc.prediction import Finding, MicrophoneResult, State
from calc.system import StageMicrophone, SystemDescription
from calc.words import joined, level, number

SPARE_DB = 3.0
"""dB above the margin: an estimate is not better than that. Common practice, no source."""

SOURCE = (
    "common practice, no source (6 dB below the onset of feedback); sum of the Handbook for "
    "Sound Engineers, ch. 34"
)
MOST_CHANGES = 5


def feedback_findings(
    system: SystemDescription, results: tuple[MicrophoneResult, ...]
) -> tuple[Finding, ...]:
    """Whether each microphone can be opened as far as needed."""
    return tuple(
        _finding(system, microphone, result)
        for microphone, result in zip(system.microphones, results, strict=True)
    )


def _finding(
    system: SystemDescription, microphone: StageMicrophone, result: MicrophoneResult
) -> Finding:
    state, sentence = _state(result)
    known = result.left_db is not None and state != "cannot check"
    return Finding(
        subject=microphone.name,
        check="feedback",
        title="Gain before feedback",
        state=state,
        value=_margin(result) if known else None,
        limit=FEEDBACK_MARGIN_DB,
        unit="dB",
        limit_source=SOURCE,
        sentence=f"Microphone {microphone.name}: {sentence}",
        working=_working(result),
        assumed=_assumed(system, microphone) if result.left_db is not None else (),
        remedy=_remedy(result),
    )


def _margin(result: MicrophoneResult) -> float | None:
    return None if result.left_db is None else result.left_db + FEEDBACK_MARGIN_DB


def _state(result: MicrophoneResult) -> tuple[State, str]:
    left, margin = result.left_db, _margin(result)
    if left is None or margin is None:
        return "cannot check", _small(result.unknown)
    if left < 0:
        rings = (
            "it rings before it is loud enough"
            if margin <= 0
            else f"only {level(margin)} of the {number(FEEDBACK_MARGIN_DB)} dB margin are left"
        )
        return "fails", f"{rings}: {level(-left)} too little gain. {_advice(result)}"
    if result.too_near:
        return "cannot check", (
            f"{joined(result.too_near)} stands nearer than half a metre, where no level is known. "
            "Move one of them, or try it with care: quietly, nobody's ears at the box."
        )
    spare = f"{level(margin)} before feedback, {level(left)} more than needed"
    if left < SPARE_DB:
        return "tight", f"{spare}: no more than such an estimate may be wrong by. Try it early."
    return "holds", f"{spare}. {_deciding(result)}"


def _advice(result: MicrophoneResult) -> str:
    said = [_deciding(result)]
    if result.changes:
        best = result.changes[0]
        said.append(f"Most helps: {best.words}, {level(best.gain_db)}.")
    return " ".join(said + _holding(result))


def _holding(result: MicrophoneResult) -> list[str]:
    """How near its source must be, rounded down to a centimetre."""
    if result.holds_at_m is None:
        return []
    return [f"With its source at {math.floor(100 * result.holds_at_m) / 100:g} m it would hold."]


def _deciding(result: MicrophoneResult) -> str:
    octave = number(result.octave_hz or 0.0, 4)
    if result.late_share is not None and result.late_share > 0.5:
        return f"It rings first about {octave} Hz, by way of the room; {result.box} feeds it most."
    return f"It rings first about {octave} Hz, by {result.box}."


def _working(result: MicrophoneResult) -> tuple[str, ...]:
    if result.left_db is None or result.potential_db is None or result.needed_db is None:
        return ()
    octaves = joined(
        f"{hz} Hz {level(left)}"
        for hz, left in zip(OCTAVES_HZ, result.octaves_left_db, strict=True)
        if left is not None
    )
    boxes = joined(
        f"{box.placement} {level(box.level_db)} ({number(box.distance_m)} m away, "
        f"{number(box.off_front_deg)} degrees off its front)"
        for box in result.boxes
    )
    said = [
        f"The farthest listener is {number(result.farthest_m or 0.0)} m away, and shall hear the "
        f"source as from {number(result.equivalent_m or 0.0)} m: "
        f"{level(result.needed_db)} of gain needed.",
        f"Possible: {level(result.potential_db)}, with {number(FEEDBACK_MARGIN_DB)} dB margin and "
        f"{level(shared_db(result.open_microphones))} for {_open(result.open_microphones)}.",
        f"Left per octave: {octaves}.",
        f"Of what the microphone hears of the rig about {number(result.octave_hz or 0.0, 4)} Hz: "
        f"{boxes}.",
    ]
    if result.late_share:
        said.append(f"{number(100 * result.late_share, 2)} % of it is reverberation.")
    if result.textbook_potential_db is not None and result.textbook_needed_db is not None:
        said.append(_textbook(result, result.textbook_potential_db, result.textbook_needed_db))
    return tuple(said)


def _textbook(result: MicrophoneResult, potential: float, needed: float) -> str:
    where = (
        "Outdoors"
        if result.critical_m is None
        else f"With a critical distance of {number(result.critical_m)} m"
    )
    return (
        f"{where}, by distances alone, {result.box} as the only box and everything all round: "
        f"possible {level(potential)}, needed {level(needed)}, {level(potential - needed)} left."
    )


def _open(count: int) -> str:
    return "one open microphone" if count == 1 else f"{count} open microphones"


def _assumed(system: SystemDescription, microphone: StageMicrophone) -> tuple[str, ...]:
    said = [
        f"{_playing(microphone)} play it, as loud against each other as their outputs are set, "
        "and sound alike in all octaves to the farthest listener.",
        "The source is in front of the microphone. Nothing stands between it and the boxes.",
        "250 Hz to 4 kHz: below, its channel is cut.",
        _as_near(system, microphone),
    ]
    if microphone.pattern == "unknown":
        said.append("Its pattern is unknown: it counts as hearing all round, the worst there is.")
    elif microphone.pattern != "omnidirectional":
        said.append("In its null it hears 20 dB less than in front, no less. Common practice.")
    if not microphone.is_open:
        said.append("It is not open with the others; this is for when it is opened as well.")
    if system.room is None:
        said.append("Outdoors: no reverberation.")
    return tuple(said)


def _playing(microphone: StageMicrophone) -> str:
    if not microphone.not_played_by:
        return "All boxes"
    return f"All boxes but those of {joined(microphone.not_played_by)}"


def _as_near(system: SystemDescription, microphone: StageMicrophone) -> str:
    if microphone.equivalent_m is not None:
        return f"It shall seem as near as {number(microphone.equivalent_m)} m: chosen for it."
    near = number(system.choices.equivalent_distance_m)
    return f"It shall seem as near as {near} m: the event's choice."


def _remedy(result: MicrophoneResult) -> str:
    if result.left_db is None:
        return "Enter what is missing."
    said = [f"{c.words}: {level(c.gain_db)}" for c in result.changes[:MOST_CHANGES]]
    return f"{_large('; '.join(said))}." if said else "No single change helps."


def _small(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def _large(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
