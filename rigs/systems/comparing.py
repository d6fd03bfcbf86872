"""Before and after a what-if: each figure and each finding side by side."""

from dataclasses import dataclass

from calc.prediction import SEVERITY, Finding, LineResult
from calc.words import level
from rigs.systems.pictures.figures import FIGURE_NAMES, in_words, without_subject

MORE_FIGURES = (
    ("cable_spread_db", "spread between boxes", "dB"),
    ("cable_loss_w", "lost in all cables", "W"),
    ("crest_headroom_db", "headroom for the programme", "dB"),
)
SAID_BY_FINDINGS = frozenset(
    {
        "rated_load_ohm",
        "headroom_db",
        "limiter_rms_dbu",
        "worst_cable_loss_db",
        "worst_damping_factor",
    }
)
"""Figures that the findings show already."""


@dataclass(frozen=True, slots=True)
class Row:
    """One figure, or one finding with its states, before and after."""

    label: str
    before: str
    after: str
    state_before: str = ""
    state_after: str = ""
    sentence: str = ""

    @property
    def changed(self) -> bool:
        """Whether the two differ."""
        return (self.before, self.state_before) != (self.after, self.state_after)


@dataclass(frozen=True, slots=True)
class OtherLine:
    """Another line on the same amplifier."""

    name: str
    before: str
    after: str
    sentence: str


def compared_findings(before: LineResult, after: LineResult) -> list[Row]:
    """Every finding that either has; those that changed first, then the worst."""
    first = {finding.check: finding for finding in before.findings}
    second = {finding.check: finding for finding in after.findings}
    rows = [_finding_row(first.get(key), second.get(key)) for key in first | second]
    return sorted(rows, key=_order)


def _order(row: Row) -> tuple[bool, int]:
    states = [state for state in SEVERITY if state == row.state_after]
    return not row.changed, SEVERITY.index(states[0]) if states else len(SEVERITY)


def _finding_row(before: Finding | None, after: Finding | None) -> Row:
    shown = after or before
    assert shown is not None
    return Row(
        label=shown.title,
        before=in_words(before.value, before.unit) if before else "not asked",
        after=in_words(after.value, after.unit) if after else "not asked",
        state_before=before.state if before else "",
        state_after=after.state if after else "",
        sentence=without_subject(after) if after and after.state != "holds" else "",
    )


def compared_figures(before: LineResult, after: LineResult) -> list[Row]:
    """Every figure that differs and that no finding shows."""
    rows = [
        Row(label, in_words(getattr(before, field), unit), in_words(getattr(after, field), unit))
        for field, label, unit in (*FIGURE_NAMES, *MORE_FIGURES)
        if field not in SAID_BY_FINDINGS
    ]
    rows += [
        Row("clips first", _first(before), _first(after)),
        Row("hiss at the nearest listener", _hiss(before), _hiss(after)),
    ]
    return [row for row in rows if row.changed]


def _first(result: LineResult) -> str:
    return (result.ladder.first_known_to_clip if result.ladder else "") or "unknown"


def _hiss(result: LineResult) -> str:
    hiss = result.ladder.hiss_db if result.ladder else None
    return "unknown" if hiss is None else level(hiss)
