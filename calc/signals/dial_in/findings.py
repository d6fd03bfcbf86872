"""Whether everything fits the processor, one finding for each."""

from collections.abc import Iterator, Sequence

from calc.prediction import DialInSheet, Finding, SheetEntry, State
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


def _misfits(sheet: DialInSheet) -> list[tuple[int, SheetEntry]]:
    return [(one.output, entry) for one in sheet.outputs for entry in one.entries if not entry.fits]


def _finding(sheet: DialInSheet, steps_known: bool) -> Finding:
    misfits = _misfits(sheet)
    if misfits:
        return _does_not_fit(sheet, misfits)
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
    return Finding(
        subject=sheet.processor,
        check="fits_processor",
        title="Rounding to what it can be set to",
        state=state,
        value=worst,
        limit=MOST_DB,
        unit="dB",
        limit_source=SOURCE,
        sentence=f"{sheet.processor}: {words}",
        assumed=sheet.remarks,
        remedy="Enter the steps of its dials, or wish for figures that it has.",
    )


def _does_not_fit(sheet: DialInSheet, misfits: Sequence[tuple[int, SheetEntry]]) -> Finding:
    """The number that decides is how many settings it cannot do."""
    many = "settings do" if len(misfits) > 1 else "setting does"
    listed = joined(f"{entry.name} of output {number}" for number, entry in misfits)
    return Finding(
        subject=sheet.processor,
        check="fits_processor",
        title="Settings that do not fit",
        state="fails",
        value=float(len(misfits)),
        limit=0.0,
        unit="settings" if len(misfits) > 1 else "setting",
        limit_source=SOURCE,
        sentence=f"{sheet.processor}: {len(misfits)} {many} not fit {sheet.model}: "
        f"{listed}. The sheet says the best that it does.",
        working=tuple(f"Output {number}, {entry.name}: {entry.note}" for number, entry in misfits),
        assumed=sheet.remarks,
        remedy="Fewer or other filters, or a processor that can do it.",
    )
