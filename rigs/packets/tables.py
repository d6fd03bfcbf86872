"""A prediction as plain text for a terminal."""

from collections.abc import Iterator, Sequence

from rigs.packets.compute import (
    LineResult,
    Prediction,
    SystemDescription,
    findings_of,
    fingerprint,
)
from rigs.packets.sections.blocks import quantity, worst_first

LINE_HEADS = ("Line", "State", "Load", "Headroom", "Cable loss", "Damping", "Limiter rms", "peak")
AREA_HEADS = ("Area", "Mean", "Loudest", "Quietest", "Within 3 dB")


def prediction_tables(system: SystemDescription, prediction: Prediction) -> str:
    """Lines, areas and findings that do not hold, in columns."""
    parts = [f"{system.event}: fingerprint {fingerprint(system)}"]
    parts += _table(LINE_HEADS, [_line(line) for line in prediction.lines])
    parts += _table(
        AREA_HEADS,
        [
            (
                area.name,
                quantity(area.mean_a_db, "dB(A)"),
                quantity(area.loudest_a_db, "dB(A)"),
                quantity(area.quietest_a_db, "dB(A)"),
                f"{100 * area.share_within_3_db:.0f} %",
            )
            for area in prediction.areas
        ],
    )
    parts += _open(prediction)
    return "\n".join(parts)


def _line(line: LineResult) -> tuple[str, ...]:
    return (
        line.name,
        line.state,
        quantity(line.rated_load_ohm, "ohm"),
        quantity(line.headroom_db, "dB"),
        quantity(line.worst_cable_loss_db, "dB"),
        quantity(line.worst_damping_factor, "1"),
        quantity(line.limiter_rms_dbu, "dBu"),
        quantity(line.limiter_peak_dbu, "dBu"),
    )


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    if not rows:
        return
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    yield ""
    for row in (heads, *rows):
        yield "  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip()


def _open(prediction: Prediction) -> Iterator[str]:
    shown = [f for f in worst_first(findings_of(prediction)) if f.state != "holds"]
    if shown:
        yield ""
    for finding in shown:
        yield f"{finding.state}: {finding.sentence}"
    for sentence in prediction.unchecked:
        yield f"not checked: {sentence}"
