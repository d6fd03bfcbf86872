"""Whether everything fits the processor, one finding for each."""

from collections.abc import Iterator, Sequence

from calc.lookup import Lookup
from calc.prediction import DialInSheet, Finding, LineResult, State
from calc.signals.dial_in.sheets import built, outputs_of
from calc.system import SystemDescription
from calc.words import joined, level, number

SOURCE = "what the processor's data sheet says it can be set to; 0.5 dB: common practice, no source"
MOST_DB = 0.5
"""dB. Rounding that nobody hears. CP."""


def fit_findings(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    sheets: Sequence[DialInSheet],
) -> Iterator[Finding]:
    """One for each processor that has an output to set."""
    for sheet in sheets:
        if sheet.outputs:
            outputs = outputs_of(system, sheet.processor)
            unknown = [key for one in outputs for key in built(system, lookup, lines, one).unknown]
            yield _finding(sheet, bool(unknown))


def _finding(sheet: DialInSheet, unknown: bool) -> Finding:
    misfits = [
        (one.output, entry) for one in sheet.outputs for entry in one.entries if not entry.fits
    ]
    worst = max(
        (one.rounding_db for one in sheet.outputs if one.rounding_db is not None), default=None
    )
    state: State = "holds"
    words = "everything fits as it is wished for."
    if worst:
        words = f"everything fits; rounding changes the level by {number(worst, 2)} dB at most."
    if worst is not None and worst > MOST_DB:
        state = "tight"
        words = f"everything fits, but rounding changes the level by {level(worst)}. Look at it."
    if unknown:
        state = "cannot check"
        words = f"what {sheet.model} can be set to is not all known. Enter it on its data sheet."
    if misfits:
        state = "fails"
        listed = [f"{entry.title} of output {number}" for number, entry in misfits]
        words = f"{sheet.model} cannot do {joined(listed)}. The sheet says the best that it does."
    return Finding(
        subject=sheet.processor,
        check="fits_processor",
        title="Fits the processor",
        state=state,
        value=worst,
        limit=MOST_DB,
        unit="dB",
        limit_source=SOURCE,
        sentence=f"{sheet.processor}: {words}",
        working=tuple(f"Output {number}, {entry.title}: {entry.note}" for number, entry in misfits),
        assumed=sheet.remarks,
        remedy="Fewer or other filters, or a processor that can do it.",
    )
