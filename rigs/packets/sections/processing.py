"""What to enter in the processors: a dial-in sheet for each, output by output."""

from collections.abc import Sequence
from dataclasses import replace

from rigs.packets.compute import (
    DialInSheet,
    DriveLine,
    Finding,
    GainLadder,
    LineResult,
    OutputSheet,
    Prediction,
    SystemDescription,
    speed_of_sound,
)
from rigs.packets.sections.blocks import (
    UNKNOWN,
    Json,
    card,
    caution,
    counted,
    fold,
    quantity,
    table,
)
from rigs.packets.sections.dial_in import output_block, processor_block, whole_processor
from rigs.packets.sections.gains import ladder_facts, ladder_fold
from rigs.packets.sections.racks import level_words

Ladders = Sequence[GainLadder | None]

VOID = (
    "A threshold belongs to this amplifier, mode, gain and level control. After any change of "
    "amplifier, box, mode, gain or level control it is void: mute, and ask for a new packet first."
)


def processing_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    """A dial-in sheet for each processor, then the lines that stand on none."""
    ladders = list(dict.fromkeys(result.ladder for result in prediction.lines))
    sheets = [sheet for sheet in prediction.sheets if sheet.outputs]
    blocks: list[Json] = []
    for place, sheet in enumerate(sheets, start=1):
        blocks.append(processor_block(sheet, place))
        about = [one for one in prediction.findings if one.subject == sheet.processor]
        if about:
            blocks.append(whole_processor(sheet, about))
        blocks += [
            _on_sheet(sheet, out, place, system, prediction, ladders) for out in sheet.outputs
        ]
    blocks += _on_no_sheet(system, prediction, ladders)
    return [caution(VOID), *blocks] if blocks else []


def processing_note(blocks: Sequence[Json]) -> str:
    """How much of the sheets does not fit their processors, in a few words."""
    misfits = sum(block.get("misfits", 0) for block in blocks)
    return f"{counted(misfits, 'entry', 'entries')} that a processor can't do" if misfits else ""


def outputs_on_sheets(prediction: Prediction) -> set[str]:
    """Subjects of the findings that stand on a sheet: its processor and its outputs."""
    sheets = [sheet for sheet in prediction.sheets if sheet.outputs]
    return {sheet.processor for sheet in sheets} | {
        _output_name(sheet.processor, output.output) for sheet in sheets for output in sheet.outputs
    }


def _on_sheet(
    sheet: DialInSheet,
    output: OutputSheet,
    place: int,
    system: SystemDescription,
    prediction: Prediction,
    ladders: Ladders,
) -> Json:
    """One output; what its limiters stand on and the gain ladders of its lines are folded in."""
    results = [result for result in prediction.lines if result.name in output.lines]
    subject = _output_name(sheet.processor, output.output)
    findings = [one for one in prediction.findings if one.subject == subject]
    findings += [
        replace(one, title=f"{one.title}, {result.name}") if len(results) > 1 else one
        for result in results
        for one in result.findings
        if one.check == "limiter"
    ]
    lines = {line.name: line for line in system.drive_lines}
    behind = [(lines[result.name], result) for result in results if result.name in lines]
    folds = [_behind(behind, system)] if behind else []
    for ladder in dict.fromkeys(result.ladder for result in results):
        folds += ladder_fold(f"ladder-{ladders.index(ladder) + 1}", ladder)
    air = system.surroundings.temperature_c
    return output_block(sheet, output, place, findings, folds, (air, speed_of_sound(air)))


def _behind(lines: Sequence[tuple[DriveLine, LineResult]], system: SystemDescription) -> Json:
    """The amplifiers that the thresholds are made for."""
    heads = ("Line", "Amplifier", "Level control", "#Gain", "#Boxes bear", "Limiter stands on")
    rows = [
        (
            line.name,
            f"{result.amplifier}, {result.mode}",
            level_words(line.level_control_db),
            quantity(result.gain_db, "dB"),
            quantity(result.rated_voltage_v, "V rms"),
            _basis(line, result, system),
        )
        for line, result in lines
    ]
    return fold("What the limiter stands on", table("", heads, rows))


def _on_no_sheet(system: SystemDescription, prediction: Prediction, ladders: Ladders) -> list[Json]:
    """Lines whose output nobody named: thresholds alone, one card each."""
    placed = {name for sheet in prediction.sheets for out in sheet.outputs for name in out.lines}
    results = {result.name: result for result in prediction.lines if result.name not in placed}
    lines = sorted(
        (line for line in system.drive_lines if line.name in results),
        key=lambda line: (line.processor == "", line.processor, line.output or 0, line.name),
    )
    shared = {one.subject: one for one in prediction.findings if one.check == "shared_output"}
    return [
        _output(
            line,
            [results[other.name] for other in lines if _same_output(line, other)],
            shared.get(_output_name(line.processor, line.output)),
            system,
            f"ladder-{ladders.index(results[line.name].ladder) + 1}",
        )
        for line in lines
    ]


def _same_output(one: DriveLine, other: DriveLine) -> bool:
    """A line shares its output with itself; where no output is named, with nobody else."""
    if one.name == other.name:
        return True
    named = bool(one.processor) and one.output is not None
    return named and (one.processor, one.output) == (other.processor, other.output)


def _output_name(processor: str, output: int | None) -> str:
    """As the sums call an output."""
    return f"{processor}, output {output}"


def _output(
    line: DriveLine,
    on_output: Sequence[LineResult],
    shared: Finding | None,
    system: SystemDescription,
    drawing: str,
) -> Json:
    """One limiter serves all lines of an output: the lowest threshold is the one to enter."""
    result = next(one for one in on_output if one.name == line.name)
    rms, peak = (
        _lowest([getattr(one, field) for one in on_output])
        for field in ("limiter_rms_dbu", "limiter_peak_dbu")
    )
    known = rms is not None
    findings = [finding for finding in result.findings if finding.check == "limiter"]
    return card(
        f"output:{line.name}",
        line.name,
        _place(line),
        _with_shared(findings, shared),
        figure=f"{quantity(rms, 'dBu')} rms" if known else UNKNOWN,
        against=f"{quantity(peak, 'dBu')} peak" if known else "",
        facts=[
            ("Amplifier", f"{result.amplifier}, {result.mode}"),
            ("Gain", quantity(result.gain_db, "dB")),
            ("Level control", level_words(line.level_control_db)),
            ("Boxes bear", quantity(result.rated_voltage_v, "V rms")),
            ("Attack", _milliseconds(result.limiter_attack_ms)),
            ("Release", _milliseconds(result.limiter_release_ms)),
            ("Stands on", _basis(line, result, system)),
            *ladder_facts(result.ladder),
        ],
        more=ladder_fold(drawing, result.ladder),
        tickable=known,
        group=line.processor,
    )


def _with_shared(findings: list[Finding], shared: Finding | None) -> list[Finding]:
    """Where lines of one output differ, that is said first."""
    if shared is None:
        return findings
    return [*findings, shared] if shared.state == "holds" else [shared, *findings]


def _lowest(values: Sequence[float | None]) -> float | None:
    """None if one is unknown: it could be the lowest."""
    known = [value for value in values if value is not None]
    return min(known) if len(known) == len(values) else None


def _milliseconds(value: float | None) -> str:
    return "" if value is None else quantity(value, "ms")


def _basis(line: DriveLine, result: LineResult, system: SystemDescription) -> str:
    """Which rating the thresholds stand on, with the name of who chose the weaker one."""
    words = f"{result.limiter_basis} rating"
    if result.limiter_basis == "continuous":
        return words
    person = line.limiter_basis_by if line.limiter_basis else system.choices.limiter_basis_by
    return f"{words}, decided by {person or UNKNOWN}"


def _place(line: DriveLine) -> str:
    if not line.processor:
        return "no processor named"
    return _output_name(line.processor, line.output) if line.output else line.processor
