"""One card per drive line; the worst of its findings decides."""

from rigs.packets.compute import DriveLine, Finding, LineResult, Prediction, SystemDescription
from rigs.packets.pictures import size_of
from rigs.packets.sections.alignment import CHECKS
from rigs.packets.sections.blocks import (
    Json,
    card,
    cards_worst_first,
    number,
    picture,
    quantity,
)
from rigs.packets.sections.coverage import ABOUT_ALL, ABOUT_AREAS
from rigs.packets.sections.network import network_fold
from rigs.packets.sections.processing import outputs_on_sheets
from rigs.packets.sections.racks import boxes_words, channels_words, level_words
from rigs.systems.describe import MAINS_CHECKS, WEIGHT_CHECKS
from rigs.systems.pictures import wiring_picture

ELSEWHERE = (*MAINS_CHECKS, *WEIGHT_CHECKS, *ABOUT_AREAS, *ABOUT_ALL, *CHECKS)
"""Checks of the rig as a whole that stand in other steps."""


def line_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    drawn = {line.name: line for line in system.drive_lines}
    elsewhere = {area.name for area in system.areas} | outputs_on_sheets(prediction)
    cards = [
        _line(result, drawn[result.name], system, f"line-{n}")
        for n, result in enumerate(prediction.lines, start=1)
    ]
    cards += [
        _whole(finding)
        for finding in prediction.findings
        if finding.state != "holds"
        and finding.check not in ELSEWHERE
        and finding.subject not in elsewhere
    ]
    return cards_worst_first(cards)


def _line(result: LineResult, line: DriveLine, system: SystemDescription, drawing: str) -> Json:
    return card(
        f"line:{result.name}",
        result.name,
        _place(result, line),
        result.findings,
        facts=[
            ("Mode", result.mode),
            ("Level control", level_words(line.level_control_db)),
            ("Boxes", boxes_words(line, system)),
            ("Cable", _cables(line)),
            ("Least impedance", _least(result)),
            ("Amplifier gives", _power(result)),
            ("Boxes bear", quantity(result.rated_noise_power_w, "W")),
        ],
        drawing=_wiring(drawing, result, line, system),
        more=network_fold(result),
        warnings=result.cautions,
        tickable=True,
    )


def _wiring(key: str, result: LineResult, line: DriveLine, system: SystemDescription) -> Json:
    across = wiring_picture(result, line, system)
    tall = wiring_picture(result, line, system, upright=True)
    words = f"From the processor to the boxes of {line.name}; what limits it is underlined."
    return picture(key, f"Wiring of {line.name}", words, across, size_of(across), tall)


def _whole(finding: Finding) -> Json:
    """A finding that speaks of a box or of the rig instead of a line."""
    return card(f"{finding.check}:{finding.subject}", finding.subject, finding.title, [finding])


def _place(result: LineResult, line: DriveLine) -> str:
    rack = f"{result.rack}, " if result.rack else ""
    channels = channels_words(line)
    word = "channels" if "+" in channels else "channel"
    return f"{rack}{result.amplifier}, {word} {channels}"


def _cables(line: DriveLine) -> str:
    runs = []
    for link in line.links:
        if not link.cable:
            runs.append("cable not named")
        elif link.pieces > 1:
            runs.append(f"{link.pieces} x {link.cable}")
        else:
            runs.append(link.cable)
    return ", then ".join(runs)


def _least(result: LineResult) -> str:
    """The least impedance, where it lies and what it stands on."""
    words = quantity(result.minimum_load_ohm, "ohm")
    if result.minimum_load_hz is not None:
        words += f" at {number(result.minimum_load_hz)} Hz"
    basis = result.minimum_load_basis.replace(" (", ", ").replace(")", "")
    return f"{words} ({basis})" if basis else words


def _power(result: LineResult) -> str:
    low, high = result.power_low_w, result.power_high_w
    if low is None or high is None:
        return quantity(low if high is None else None, "W")
    if number(low) == number(high):
        return quantity(low, "W")
    return f"{number(low)} to {number(high)} W"
