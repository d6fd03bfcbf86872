"""The figures of many drive lines. Each formula is that of the one-line module it names."""

from dataclasses import dataclass

import numpy as np

from calc.constants import VOLT_AT_0_DBU
from calc.electrical.amplifiers import SAME_LOAD
from calc.electrical.bulk.columns import LineColumns
from calc.electrical.bulk.tables import AmplifierTable, Floats, Numbers
from calc.electrical.ladder import LEAST_SHARE


@dataclass(frozen=True, slots=True)
class BulkFigures:
    """Figures of many lines, shape (lines,), NaN where unknown. Names as in `LineResult`.

    `power_low_ratio` and `power_high_ratio` are those of the finding `power`. The last two are
    per box, shape (boxes,): `loss_db`, `damping` and `damping_at_best`.
    """

    rated_load_ohm: Floats
    minimum_load_ohm: Floats
    amplifier_minimum_ohm: Floats
    voltage_low_v: Floats
    voltage_high_v: Floats
    rated_noise_power_w: Floats
    rated_voltage_v: Floats
    power_low_ratio: Floats
    power_high_ratio: Floats
    peak_margin_db: Floats
    worst_cable_loss_db: Floats
    worst_damping_factor: Floats
    headroom_db: Floats
    gain_db: Floats
    limiter_rms_dbu: Floats
    limiter_peak_dbu: Floats
    loss_db: Floats
    damping: Floats
    damping_at_best: Floats


def bulk_figures(columns: LineColumns) -> BulkFigures:
    """Work out many drive lines at once."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return _figures(columns)


class Lines:
    """Sums and extremes over the boxes of each line; lines without boxes stay NaN."""

    def __init__(self, columns: LineColumns) -> None:
        self.count = len(columns.sheet)
        line = columns.line
        self.starts = np.flatnonzero(np.r_[True, line[1:] != line[:-1]] if len(line) else [])
        self.rows = line[self.starts]

    def over(self, ufunc: np.ufunc, values: Floats) -> Floats:
        """`ufunc.reduce` over each line's boxes."""
        found = np.full(self.count, np.nan)
        if len(self.starts):
            found[self.rows] = ufunc.reduceat(values, self.starts)
        return found


def _figures(columns: LineColumns) -> BulkFigures:
    lines, ways = Lines(columns), columns.ways
    row = 3 * columns.sheet + columns.mode
    table, named = columns.amplifiers, columns.sheet >= 0
    rated_ohm, rated_v = ways.rated_ohm[columns.way], ways.rated_v[columns.way]
    load = 1 / lines.over(np.add, 1 / rated_ohm)
    low, high = _voltage_bounds(table, columns, row, load)
    noise = lines.over(np.add, ways.noise_w[columns.way])
    least_rated = lines.over(np.minimum, rated_v)
    share, into = _shares(columns, lines, rated_ohm)
    output = _looked_up(table.output_ohm, row, named)
    terminals = into / (output + into)
    loss = -20 * np.log10(share) + 0.0
    damping, at_best = _damping(share * terminals[columns.line]), _damping(share)
    gain = np.where(
        np.isnan(columns.gain_set_db),
        _looked_up(table.gain_db, row, named),
        columns.gain_set_db + _looked_up(table.extra_gain_db, row, named),
    )
    headroom = 20 * np.log10(low[columns.line] * share / rated_v)
    peak = lines.over(np.minimum, ways.limiter_peak_v[columns.way])
    return BulkFigures(
        rated_load_ohm=load,
        minimum_load_ohm=1 / lines.over(np.add, 1 / ways.minimum_ohm[columns.way]),
        amplifier_minimum_ohm=_looked_up(table.least_ohm, row, named),
        voltage_low_v=low,
        voltage_high_v=high,
        rated_noise_power_w=noise,
        rated_voltage_v=least_rated,
        power_low_ratio=low**2 / load / noise,
        power_high_ratio=(high / least_rated) ** 2,
        peak_margin_db=_peak_margin(columns, row, high, lines),
        worst_cable_loss_db=lines.over(np.fmax, loss),
        worst_damping_factor=lines.over(np.fmin, damping),
        headroom_db=lines.over(np.minimum, headroom),
        gain_db=gain,
        limiter_rms_dbu=_threshold(columns, least_rated, gain, peak),
        limiter_peak_dbu=_threshold(columns, peak, gain, least_rated),
        loss_db=loss,
        damping=damping,
        damping_at_best=at_best,
    )


def _looked_up(column: Floats, row: Numbers, named: np.ndarray) -> Floats:
    if not len(column):
        return np.full(len(row), np.nan)
    return np.where(named, column[np.where(named, row, 0)], np.nan)


def _voltage_bounds(
    table: AmplifierTable, columns: LineColumns, row: Numbers, load: Floats
) -> tuple[Floats, Floats]:
    """As `amplifiers.voltage_bounds`."""
    if not len(table.loads_ohm):
        return np.full(len(row), np.nan), np.full(len(row), np.nan)
    named = columns.sheet >= 0
    low, high = _bounds_between(table, np.where(named, row, 0), load)
    pairs = np.flatnonzero(np.isnan(low) & (columns.mode > 0) & named)
    share = np.array([1.0, 0.5, 2.0])[columns.mode[pairs]]
    times = np.array([1.0, 2.0, 1.0])[columns.mode[pairs]]
    one = _bounds_between(table, 3 * columns.sheet[pairs], share * load[pairs])
    low[pairs], high[pairs] = times * one[0], times * one[1]
    low[~named] = high[~named] = np.nan
    return low, high


def _bounds_between(table: AmplifierTable, row: Numbers, load: Floats) -> tuple[Floats, Floats]:
    """As `amplifiers.bounds_between`."""
    last = table.loads_ohm.shape[1] - 1
    smaller = np.zeros(len(row), dtype=np.intp)
    for column in range(last):
        smaller += table.loads_ohm[row, column] < load
    below, above = np.maximum(smaller - 1, 0), np.minimum(smaller, last)
    z_below, z_above = table.loads_ohm[row, below], table.loads_ohm[row, above]
    v_below, v_above = table.volts[row, below], table.volts[row, above]
    low = np.maximum(v_below, table.amps[row, above] * load)
    high = np.minimum(v_above, table.amps[row, below] * load)
    outside = (smaller == 0) | ~np.isfinite(z_above) | np.isnan(load)
    least = np.where(outside, np.nan, np.minimum(low, high))
    most = np.where(outside, np.nan, np.maximum(low, high))
    for ohm, volts in ((z_above, v_above), (z_below, v_below)):
        same = np.abs(ohm - load) <= SAME_LOAD * np.maximum(ohm, load)
        same &= np.isfinite(ohm)
        least, most = np.where(same, volts, least), np.where(same, volts, most)
    return least, most


def _shares(columns: LineColumns, lines: Lines, rated_ohm: Floats) -> tuple[Floats, Floats]:
    """As `ladder.shares_of_terminals` and `ladder.input_ohm`: (boxes,) and (lines,)."""
    count = len(columns.line)
    if not count:
        return np.empty(0), np.full(lines.count, np.nan)
    known = (columns.cable >= 0) & (len(columns.cables.loop_ohm) > 0)
    table = columns.cables.loop_ohm if len(columns.cables.loop_ohm) else np.array([np.nan])
    loop = np.where(known, table[np.where(known, columns.cable, 0)] * columns.pieces, np.nan)
    first = columns.from_amplifier.copy()
    first[lines.starts] = True
    starts = np.flatnonzero(first)
    lengths = np.diff(np.r_[starts, count])
    order = np.argsort(-lengths, kind="stable")
    starts, lengths = starts[order], lengths[order]
    longest = int(lengths[0])
    reach = np.searchsorted(-lengths, -np.arange(longest), side="left")
    seen, share = np.empty(count), np.empty(count)
    beyond = np.zeros(0)
    for position in range(longest - 1, -1, -1):
        at = starts[: reach[position]] + position
        admittance = 1 / rated_ohm[at]
        admittance[: len(beyond)] += beyond
        seen[at] = loop[at] + 1 / admittance
        beyond = 1 / seen[at]
    before = np.ones(len(starts))
    for position in range(longest):
        at = starts[: reach[position]] + position
        before = before[: len(at)] * (1 - loop[at] / seen[at])
        share[at] = before
    runs = np.cumsum(first) - 1
    unknown = np.bincount(runs, np.isnan(loop) | np.isnan(rated_ohm)) > 0
    share = np.where(unknown[runs], np.nan, np.maximum(share, LEAST_SHARE))
    admittance = np.where(unknown[runs[starts]], np.nan, 1 / seen[starts])
    return share, 1 / np.bincount(columns.line[starts], admittance, lines.count)


def _damping(share: Floats) -> Floats:
    """As `ladder`: no drop has no figure."""
    return np.where(share < 1, share / (1 - share), np.nan)


def _peak_margin(columns: LineColumns, row: Numbers, high: Floats, lines: Lines) -> Floats:
    """As `findings.peak`: the stated peak or the peak of the high-bound sine."""
    stated = _looked_up(columns.amplifiers.peak_v, row, columns.sheet >= 0)
    rating = lines.over(np.minimum, columns.ways.peak_v[columns.way])
    return 20 * np.log10(np.fmax(stated, np.sqrt(2) * high) / rating)


def _threshold(columns: LineColumns, volts: Floats, gain: Floats, other: Floats) -> Floats:
    """As `limiters.thresholds`; unknown also where the other of the two voltages is."""
    exact = 20 * np.log10(volts / VOLT_AT_0_DBU) - gain - columns.level_control_db
    step = np.where(np.isnan(columns.step_db), 1.0, columns.step_db)
    steps = np.floor(exact / step)
    rounded = np.round(steps * step, 9)
    rounded = np.where(rounded > exact, np.round((steps - 1) * step, 9), rounded)
    found = np.where(np.isnan(columns.step_db), exact, rounded)
    return np.where(np.isnan(other), np.nan, found)
