"""A line's figures and findings in the words of the page."""

from collections.abc import Iterable
from dataclasses import dataclass

from calc.prediction import SEVERITY, Finding, LineResult
from calc.words import level, number

FIGURE_NAMES = (
    ("rated_load_ohm", "rated load", "ohm"),
    ("minimum_load_ohm", "least impedance", "ohm"),
    ("amplifier_minimum_ohm", "amplifier needs", "ohm"),
    ("rated_noise_power_w", "rated noise power", "W"),
    ("power_low_w", "amplifier gives", "W"),
    ("rated_voltage_v", "rated volts", "V"),
    ("headroom_db", "headroom", "dB"),
    ("gain_db", "gain, level fully up", "dB"),
    ("limiter_rms_dbu", "limiter, rms", "dBu"),
    ("limiter_peak_dbu", "limiter, peak", "dBu"),
    ("worst_cable_loss_db", "most lost in cable", "dB"),
    ("worst_damping_factor", "least damping factor", "1"),
)
LEVELS = ("dB", "dBu", "dBV")


@dataclass(frozen=True, slots=True)
class ShownFinding:
    """A finding as it is read: the number that decides, then everything else."""

    finding: Finding
    figure: str
    limit: str
    sentence: str


def shown_findings(findings: Iterable[Finding]) -> list[ShownFinding]:
    """Worst first."""
    ordered = sorted(findings, key=lambda finding: SEVERITY.index(finding.state))
    return [
        ShownFinding(
            finding=f,
            figure=in_words(f.value, f.unit),
            limit="" if f.limit is None else in_words(f.limit, f.unit),
            sentence=without_subject(f),
        )
        for f in ordered
    ]


def without_subject(finding: Finding) -> str:
    """The finding's sentence where the line's name stands above it already."""
    sentence = finding.sentence
    for kind in ("Line", "Microphone"):
        sentence = sentence.removeprefix(f"{kind} {finding.subject}: ")
    return sentence[:1].upper() + sentence[1:]


def shown_figures(result: LineResult) -> list[tuple[str, str]]:
    """Label and value of each figure of a line."""
    return [(label, in_words(getattr(result, field), unit)) for field, label, unit in FIGURE_NAMES]


def in_words(value: float | None, unit: str) -> str:
    """A number with its unit, or that it is unknown."""
    if value is None:
        return "unknown"
    if unit in LEVELS:
        return level(value, unit)
    return number(value) if unit == "1" else f"{number(value)} {unit}"
