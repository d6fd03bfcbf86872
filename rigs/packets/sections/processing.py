"""What to enter in the processors: one card per output."""

from rigs.packets.compute import DriveLine, LineResult, Prediction, SystemDescription
from rigs.packets.sections.blocks import UNKNOWN, Json, card, caution, quantity
from rigs.packets.sections.gains import ladder_facts, ladder_fold
from rigs.packets.sections.racks import level_words

VOID = (
    "A threshold belongs to this amplifier, mode, gain and level control. After any change of "
    "amplifier, box, mode, gain or level control it is void: mute, and ask for a new packet first."
)


def processing_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    results = {result.name: result for result in prediction.lines}
    lines = sorted(
        (line for line in system.drive_lines if line.name in results),
        key=lambda line: (line.processor == "", line.processor, line.output or 0, line.name),
    )
    if not lines:
        return []
    ladders = list(dict.fromkeys(results[line.name].ladder for line in lines))
    return [
        caution(VOID),
        *(
            _output(line, result, system, f"ladder-{ladders.index(result.ladder) + 1}")
            for line, result in ((line, results[line.name]) for line in lines)
        ),
    ]


def _output(line: DriveLine, result: LineResult, system: SystemDescription, drawing: str) -> Json:
    known = result.limiter_rms_dbu is not None
    return card(
        f"output:{line.name}",
        line.name,
        _place(line),
        [finding for finding in result.findings if finding.check == "limiter"],
        figure=f"{quantity(result.limiter_rms_dbu, 'dBu')} rms" if known else UNKNOWN,
        against=f"{quantity(result.limiter_peak_dbu, 'dBu')} peak" if known else "",
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
    return f"{line.processor}, output {line.output}" if line.output else line.processor
