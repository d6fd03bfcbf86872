"""Whether everything fits the processor, one finding for each."""

from collections.abc import Iterator, Sequence

from calc.prediction import DialInSheet, Finding, State
from calc.signals.dial_in.sheets import Dialled
from calc.words import joined, level, number

SOURCE = "what the processor's data sheet says it can be set to; 0.5 dB: common practice, no source"
MOST_DB = 0.5
"""dB. Rounding that nobody hears. CP."""


def fit_findings(made: Sequence[Dialled]) -> Iterator[Finding]:
    """One for each processor that has an output to set."""
    for one in made:
        if one.sheet.outputs:
            yield _finding(one.sheet, one.steps_known)


def _finding(sheet: DialInSheet, steps_known: bool) -> Finding:
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
    if not steps_known:
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
