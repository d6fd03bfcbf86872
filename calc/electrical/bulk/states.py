"""States of many drive lines from their figures, by the limits of `calc.electrical.findings`."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.constants import MINIMUM_IMPEDANCE_SHARE
from calc.electrical.bulk.columns import LineColumns
from calc.electrical.bulk.figures import BulkFigures, Lines
from calc.electrical.bulk.tables import Flags, Floats
from calc.electrical.findings.cable import MOST_LOSS_DB, OTHER_DAMPING, SUB_DAMPING, WISHED_LOSS_DB
from calc.electrical.findings.limiter import SAME
from calc.electrical.findings.load import PRINTED_SHARE
from calc.electrical.findings.peak import MOST_DB
from calc.electrical.findings.power import (
    LEAST_HEADROOM_DB,
    MOST,
    ROUNDING,
    WISHED_HEADROOM_DB,
    WISHED_HIGH,
    WISHED_LOW,
)
from calc.prediction import SEVERITY

States = NDArray[np.int8]
FAILS, CANNOT, TIGHT, HOLDS = (
    np.int8(SEVERITY.index(state)) for state in ("fails", "cannot check", "tight", "holds")
)


@dataclass(frozen=True, slots=True)
class BulkStates:
    """Per check and line the place in `calc.prediction.SEVERITY` (0 is worst), shape (lines,).

    `worst` is the line's own. A line that is not covered is "cannot check" throughout.
    """

    load: States
    power: States
    peak: States
    cable_loss: States
    damping: States
    headroom: States
    limiter: States
    pole_pair: States
    worst: States


def bulk_states(columns: LineColumns, figures: BulkFigures) -> BulkStates:
    """Judge many lines at once."""
    with np.errstate(invalid="ignore", divide="ignore"):
        found = {
            "load": _load(columns, figures),
            "power": _power(figures),
            "peak": _upper(figures.peak_margin_db, SAME, MOST_DB + SAME),
            "cable_loss": _cable_loss(columns, figures),
            "damping": _damping(columns, figures),
            "headroom": _headroom(figures.headroom_db),
            "limiter": _limiter(columns, figures),
            "pole_pair": _pole_pair(columns),
        }
    covered = {
        check: np.where(columns.covered, states, CANNOT).astype(np.int8)
        for check, states in found.items()
    }
    return BulkStates(**covered, worst=np.min(list(covered.values()), axis=0))


def _select(*cases: tuple[Flags, np.int8]) -> States:
    return np.select([when for when, _ in cases], [then for _, then in cases], HOLDS)


def _upper(values: Floats, wished: float, most: float) -> States:
    return _select((values > most, FAILS), (np.isnan(values), CANNOT), (values > wished, TIGHT))


def _load(columns: LineColumns, figures: BulkFigures) -> States:
    rated, true, limit = (
        figures.rated_load_ohm,
        figures.minimum_load_ohm,
        figures.amplifier_minimum_ohm,
    )
    named = columns.sheet >= 0
    row = np.where(named, 3 * columns.sheet + columns.mode, 0)
    if not len(columns.amplifiers.least_is_true):
        return np.full(len(named), CANNOT)
    by_true, stated = columns.amplifiers.least_is_true[row], columns.amplifiers.mode_stated[row]
    unknown = ~named | np.isnan(rated) | np.isnan(true) | np.isnan(limit)
    counts = np.where(by_true, true, rated)
    dips = ~by_true & (true < MINIMUM_IMPEDANCE_SHARE * limit * PRINTED_SHARE)
    return _select(
        (unknown, CANNOT),
        (counts < limit * PRINTED_SHARE, FAILS),
        (~stated, CANNOT),
        (dips, TIGHT),
    )


def _power(figures: BulkFigures) -> States:
    low, high = figures.power_low_ratio, figures.power_high_ratio
    return _select(
        (np.isnan(low) | np.isnan(high), CANNOT),
        (high > MOST * (1 + ROUNDING), FAILS),
        (low < 1 - ROUNDING, TIGHT),
        (high > WISHED_HIGH * (1 + ROUNDING), TIGHT),
        (low < WISHED_LOW * (1 - ROUNDING), TIGHT),
    )


def _all_known(columns: LineColumns, values: Floats) -> Flags:
    """Lines that have boxes, and a figure at each of them."""
    return Lines(columns).over(np.minimum, np.where(np.isnan(values), 0.0, 1.0)) == 1


def _cable_loss(columns: LineColumns, figures: BulkFigures) -> States:
    worst = figures.worst_cable_loss_db
    return _select(
        (worst > MOST_LOSS_DB, FAILS),
        (~_all_known(columns, figures.loss_db), CANNOT),
        (worst > WISHED_LOSS_DB, TIGHT),
    )


def _damping(columns: LineColumns, figures: BulkFigures) -> States:
    lines = Lines(columns)
    wished = np.where(columns.ways.sub[columns.way], SUB_DAMPING, OTHER_DAMPING)
    known = lines.over(np.fmin, figures.damping / wished)
    margin = np.where(np.isnan(known), lines.over(np.fmin, figures.damping_at_best / wished), known)
    complete = _all_known(columns, figures.damping)
    return _select(
        (margin < 0.5, FAILS), (~complete | np.isnan(margin), CANNOT), (margin < 1, TIGHT)
    )


def _headroom(headroom: Floats) -> States:
    near = np.isclose(headroom, 10 * np.log10(1.5), rtol=1e-9, atol=0)
    return _select(
        (np.isnan(headroom), CANNOT),
        (near | (headroom >= WISHED_HEADROOM_DB - 1e-6), HOLDS),
        (headroom >= LEAST_HEADROOM_DB, TIGHT),
        (np.ones(len(headroom), dtype=np.bool_), FAILS),
    )


def _limiter(columns: LineColumns, figures: BulkFigures) -> States:
    low, rms = figures.voltage_low_v, figures.limiter_rms_dbu
    return _select(
        (np.isnan(rms) | np.isnan(low), CANNOT),
        (low < figures.rated_voltage_v * (1 - SAME), TIGHT),
        (columns.max_output_dbu < rms, TIGHT),
    )


def _pole_pair(columns: LineColumns) -> States:
    """As `findings.poles`: the cable's pairs less the way's pair; an unnamed cable has one."""
    table = np.r_[columns.cables.pole_pairs, 1.0]  # row -1: nobody said which
    spare = table[columns.cable] - columns.ways.pole_pair[columns.way]
    named = columns.cable >= 0
    lines = Lines(columns)
    worst_named = lines.over(np.minimum, np.where(named, spare, np.inf))
    worst_unnamed = lines.over(np.minimum, np.where(named, np.inf, spare))
    return _select((worst_named < 0, FAILS), (np.isnan(worst_named) | (worst_unnamed < 0), CANNOT))
