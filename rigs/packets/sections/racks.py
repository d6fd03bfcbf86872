"""One card per amplifier: what each channel is set to and what hangs on it."""

from dataclasses import replace

from rigs.packets.compute import (
    AmplifierPlace,
    DriveLine,
    Finding,
    LineResult,
    Prediction,
    SystemDescription,
)
from rigs.packets.sections.blocks import Json, card, number, quantity, table, text

READ = "Compare every switch and knob with the card, then tick it as seen."


def rack_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    places = sorted(system.amplifier_places, key=lambda place: (place.rack, place.name))
    cards = [_amplifier(place, system, prediction) for place in places]
    return [text(READ), *cards] if cards else []


def _amplifier(place: AmplifierPlace, system: SystemDescription, prediction: Prediction) -> Json:
    results = {result.name: result for result in prediction.lines}
    lines = [line for line in system.drive_lines if line.amplifier == place.name]
    lines.sort(key=lambda line: line.first_channel)
    linked = [
        finding
        for finding in prediction.findings
        if finding.check == "linked_inputs" and finding.subject == place.name
    ]
    return card(
        f"amplifier:{place.name}",
        place.name,
        place.rack or "no rack named",
        [*_loads(lines, results), *linked],
        facts=[
            ("Type", place.sheet),
            ("Unit", place.unit or "any"),
            ("Gain switch", "" if place.gain_db is None else quantity(place.gain_db, "dB")),
            ("Inputs", "linked" if place.linked_inputs else ""),
        ],
        rows=_channels(lines, results, system) if lines else None,
        tickable=True,
        group=place.rack,
        figure=None if lines else "no line on it",
    )


def _loads(lines: list[DriveLine], results: dict[str, LineResult]) -> list[Finding]:
    """The load of each line, named by the line."""
    return [
        replace(finding, title=f"Load, {line.name}")
        for line in lines
        if line.name in results
        for finding in results[line.name].findings
        if finding.check == "load"
    ]


def _channels(
    lines: list[DriveLine], results: dict[str, LineResult], system: SystemDescription
) -> Json:
    return table(
        "",
        ("Channel", "Mode", "Level control", "Drives", "#Load"),
        [
            (
                channels_words(line),
                line.mode,
                level_words(line.level_control_db),
                f"{line.name}: {boxes_words(line, system)}",
                _load(results.get(line.name)),
            )
            for line in lines
        ],
    )


def channels_words(line: DriveLine) -> str:
    """'1', or '1 + 2' for a pair."""
    first = line.first_channel
    return str(first) if line.mode == "per channel" else f"{first} + {first + 1}"


def level_words(level_control_db: float) -> str:
    """Where the level control stands."""
    return "fully up" if level_control_db == 0 else f"{number(level_control_db)} dB"


def boxes_words(line: DriveLine, system: SystemDescription) -> str:
    """The boxes on a line; the way is named where a box has several."""
    sheets = {sheet.name: sheet for sheet in system.loudspeakers}
    ways = {place.name: len(sheets[place.sheet].ways) for place in system.placements}
    named = (
        f"{link.placement} ({link.way})" if ways[link.placement] > 1 else link.placement
        for link in line.links
    )
    return ", ".join(named) or "no box"


def _load(result: LineResult | None) -> str:
    return quantity(result.rated_load_ohm if result else None, "ohm")
