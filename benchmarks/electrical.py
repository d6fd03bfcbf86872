"""Drive lines: a whole inventory against a row loop, one long ladder, one what-if."""

import dataclasses
import math
from collections.abc import Iterator

import numpy as np

from benchmarks.figures import Figure, benchmark, median_seconds, paired_medians
from calc.check import check_lines
from calc.electrical.amplifiers import bounds_between, output_impedance_ohm, rated_points
from calc.electrical.bulk import (
    AmplifierTable,
    BulkFigures,
    CableTable,
    LineColumns,
    WayTable,
    bulk_figures,
)
from calc.electrical.bulk.tables import MODES
from calc.electrical.cables import run_resistance
from calc.electrical.gain import line_gain
from calc.electrical.ladder import Rung, damping_factors, shares_of_terminals
from calc.electrical.limiters import peak_volts, rated_volts, thresholds
from calc.electrical.loads import parallel_ohm
from calc.electrical.network import NetworkBox, solve
from calc.figure import Figure as Value
from calc.system import (
    AmplifierPlace,
    AmplifierSheet,
    CableSheet,
    Choices,
    DriveLine,
    ImpedanceCurve,
    Link,
    LoudspeakerSheet,
    ModeLimits,
    Placement,
    ProcessorPlace,
    ProcessorSheet,
    Rating,
    Role,
    SystemDescription,
    Way,
)

LINES, SHEETS, WAYS, CABLES, MOST_BOXES = 20_000, 40, 60, 30, 6
BOXES, FREQUENCIES = 12, 200
CHOICES = Choices()


def _way(rng: np.random.Generator, name: str) -> Way:
    power = float(rng.integers(100, 1500))
    return Way(
        name=name,
        rated_impedance_ohm=Value(float(rng.choice([4.0, 8.0, 16.0]))),
        minimum_impedance_ohm=Value(float(rng.uniform(3, 12))),
        noise_power_w=Value(power),
        peak_power_w=Value(4 * power),
        sensitivity_db=Value(97.0),
        sensitivity_basis="1 W",
        low_hz=Value(60.0),
        high_hz=Value(16000.0),
        coverage_h_deg=Value(90.0),
        coverage_v_deg=Value(60.0),
    )


def _sheet(rng: np.random.Generator, name: str) -> AmplifierSheet:
    power = float(rng.integers(200, 2500))
    loads = {0.5: 2.6, 1.0: 2.3, 2.0: 2.0, 4.0: 1.7, 8.0: 1.0, 16.0: 0.5}
    return AmplifierSheet(
        name=name,
        channels=4,
        ratings=tuple(Rating("per channel", z, Value(k * power)) for z, k in loads.items()),
        modes=(ModeLimits("per channel", Value(2.67), "rated", 0.0),),
        gain_db=Value(float(rng.integers(26, 40))),
        damping_factor=Value(float(rng.integers(100, 900))),
    )


@dataclasses.dataclass(frozen=True)
class Inventory:
    """The same lines as columns and as the objects that a row loop meets."""

    columns: LineColumns
    ways: list[Way]
    sheets: list[AmplifierSheet]
    cables: list[CableSheet]


def _inventory() -> Inventory:
    rng = np.random.default_rng(1)
    ways = [_way(rng, f"way {i}") for i in range(WAYS)]
    sheets = [_sheet(rng, f"amplifier {i}") for i in range(SHEETS)]
    cables = [
        CableSheet(f"cable {i}", Value(2.5), "5", Value(float(rng.integers(2, 40))), 1)
        for i in range(CABLES)
    ]
    line = np.repeat(np.arange(LINES), rng.integers(1, MOST_BOXES + 1, LINES))
    count = len(line)
    first = np.r_[True, line[1:] != line[:-1]]
    roles: list[Role] = ["sub" if i % 3 == 0 else "top" for i in range(WAYS)]
    columns = LineColumns(
        sheet=rng.integers(0, SHEETS, LINES),
        mode=rng.choice([0, 0, 0, 1], LINES),
        level_control_db=rng.choice([0.0, -3.0, -6.0], LINES),
        gain_set_db=np.full(LINES, np.nan),
        step_db=np.full(LINES, 0.1),
        max_output_dbu=np.full(LINES, 20.0),
        covered=np.ones(LINES, dtype=np.bool_),
        line=line,
        way=rng.integers(0, WAYS, count),
        cable=rng.integers(0, CABLES, count),
        pieces=rng.integers(1, 3, count),
        from_amplifier=first | (rng.random(count) < 0.2),
        ways=WayTable.of(list(zip(ways, roles, strict=True))),
        cables=CableTable.of(cables, CHOICES),
        amplifiers=AmplifierTable.of(sheets),
    )
    return Inventory(columns, ways, sheets, cables)


Row = tuple[float | None, ...]


def _row_loop(inventory: Inventory) -> list[Row]:
    """Load, amplifier volts, worst loss, worst damping, headroom and limiter, line by line.

    Everything that depends on a sheet alone is looked up, as in the columns.
    """
    columns = inventory.columns
    sheets = _looked_up(inventory.sheets)
    ways = [
        (w.rated_impedance_ohm.value or 0.0, rated_volts(w) or 0.0, peak_volts(w) or 0.0)
        for w in inventory.ways
    ]
    loops = [run_resistance(cable, 1, CHOICES).loop_ohm or 0.0 for cable in inventory.cables]
    boxes: list[list[tuple[int, float, bool]]] = [[] for _ in range(LINES)]
    for line, way, cable, pieces, start in zip(
        columns.line.tolist(), columns.way.tolist(), columns.cable.tolist(),
        columns.pieces.tolist(), columns.from_amplifier.tolist(), strict=True,
    ):  # fmt: skip
        boxes[line].append((way, loops[cable] * pieces, start))
    found = []
    for mine, sheet, mode, level in zip(
        boxes, columns.sheet.tolist(), columns.mode.tolist(),
        columns.level_control_db.tolist(), strict=True,
    ):  # fmt: skip
        found.append(
            _row([(*ways[way], loop, s) for way, loop, s in mine], sheets, sheet, mode, level)
        )
    return found


def _looked_up(
    sheets: list[AmplifierSheet],
) -> list[list[tuple[list[tuple[float, float]], float, float]]]:
    return [
        [
            (
                rated_points(sheet, mode),
                output_impedance_ohm(sheet, mode) or 0.0,
                line_gain(sheet, mode).db or 0.0,
            )
            for mode in MODES
        ]
        for sheet in sheets
    ]


def _row(
    boxes: list[tuple[float, float, float, float, bool]],
    sheets: list[list[tuple[list[tuple[float, float]], float, float]]],
    sheet: int,
    mode: int,
    level: float,
) -> Row:
    load = parallel_ohm([ohm for ohm, *_ in boxes])
    points, output, gain = sheets[sheet][mode]
    bounds = bounds_between(points, load)
    if bounds is None and mode == 1:
        one = bounds_between(sheets[sheet][0][0], load / 2)
        bounds = None if one is None else (2 * one[0], 2 * one[1])
    rungs = [Rung(loop, ohm, start) for ohm, _, _, loop, start in boxes]
    shares = [share or 0.0 for share in shares_of_terminals(rungs)]
    damping = [one for one in damping_factors(rungs, output) if one is not None]
    rated = min(volts for _, volts, *_ in boxes)
    limiter = thresholds(rated, min(peak for _, _, peak, *_ in boxes), gain, level, 0.1)
    headroom = None
    if bounds is not None:
        headroom = min(
            20 * math.log10(bounds[0] * share / volts)
            for share, (_, volts, *_) in zip(shares, boxes, strict=True)
        )
    low, high = bounds or (None, None)
    loss = max(-20 * math.log10(share) for share in shares)
    return load, low, high, loss, min(damping), headroom, limiter.rms_dbu, limiter.peak_dbu


NAMES = (
    "rated_load_ohm", "voltage_low_v", "voltage_high_v", "worst_cable_loss_db",
    "worst_damping_factor", "headroom_db", "limiter_rms_dbu", "limiter_peak_dbu",
)  # fmt: skip


def _differing(figures: BulkFigures, rows: list[Row]) -> int:
    """How many figures are not the same both ways (1e-9)."""
    count = 0
    for column, name in enumerate(NAMES):
        theirs = np.array([np.nan if r[column] is None else r[column] for r in rows], dtype=float)
        same = np.isclose(getattr(figures, name), theirs, rtol=1e-9, atol=1e-9, equal_nan=True)
        count += int((~same).sum())
    return count


@benchmark("electrical.drive_lines")
def drive_lines() -> Iterator[Figure]:
    inventory = _inventory()
    ours, loop = paired_medians(
        lambda: bulk_figures(inventory.columns), lambda: _row_loop(inventory)
    )
    differing = _differing(bulk_figures(inventory.columns), _row_loop(inventory))
    yield Figure(
        "electrical.drive_lines",
        1000 * ours,
        "ms",
        loop / ours,
        f"loop over calc's one-line functions, {1000 * loop:.0f} ms",
        f"{LINES} lines, {len(inventory.columns.line)} boxes; {differing} figures differ",
    )


def _curve() -> ImpedanceCurve:
    f = np.geomspace(20, 20_000, 60)
    size = 6.5 + 25 / (1 + (4 * np.log(f / 70)) ** 2) + f / 2500
    phase = 30 * np.tanh(np.log(f / 900))
    return ImpedanceCurve(tuple(f.tolist()), tuple(size.tolist()), tuple(phase.tolist()))


@benchmark("electrical.ladder_ms")
def ladder() -> Iterator[Figure]:
    f = np.geomspace(20, 20_000, FREQUENCIES)
    impedance = 6 + 2j * np.log(f / 500) + 20 / (1 + (4 * np.log(f / 70)) ** 2)
    boxes = [
        NetworkBox(f"box {i}", f"box {i - 1}" if i else None, 0.1, impedance) for i in range(BOXES)
    ]

    def work() -> None:
        solution = solve(boxes, 60.0, 0.016)
        assert solution.loss_db.size and solution.box_w.size and solution.cable_w.size

    yield Figure(
        "electrical.ladder_ms",
        1000 * median_seconds(work),
        "ms",
        note=f"{BOXES} boxes in a row, {FREQUENCIES} frequencies: volts, amps, watts, losses",
    )


def _rig() -> SystemDescription:
    """24 lines of two boxes with impedance curves on 12 amplifiers."""
    rng = np.random.default_rng(2)
    way = dataclasses.replace(_way(rng, "full"), impedance_curve=_curve())
    sheets = tuple(dataclasses.replace(_sheet(rng, f"amplifier {i}"), channels=2) for i in range(2))
    cable = CableSheet("cable", Value(2.5), "5", Value(15.0), 1)
    lines, placed = [], []
    for i in range(24):
        names = (f"box {i} a", f"box {i} b")
        placed += [Placement(name, "box", float(i), 0.0, 2.5, 0.0, 0.0) for name in names]
        links = tuple(Link(name, "full", "cable", 1, k == 0) for k, name in enumerate(names))
        lines.append(
            DriveLine(
                f"line {i}", "processor", i % 8 + 1, f"place {i // 2}", i % 2 + 1, "per channel",
                0.0, links,
            )
        )  # fmt: skip
    return SystemDescription(
        event="benchmark",
        loudspeakers=(LoudspeakerSheet("box", "top", (way,)),),
        amplifiers=sheets,
        cables=(cable,),
        processors=(ProcessorSheet("processor", 4, 8),),
        processor_places=(ProcessorPlace("processor", "processor"),),
        amplifier_places=tuple(
            AmplifierPlace(f"place {i}", "rack", "amplifier 0") for i in range(12)
        ),
        placements=tuple(placed),
        drive_lines=tuple(lines),
    )


@benchmark("electrical.what_if_ms")
def what_if() -> Iterator[Figure]:
    """Swap the amplifier of one line: that line before and after, calc's part alone."""
    rig = _rig()
    line = rig.drive_lines[0]
    first, *others = rig.amplifier_places
    one = dataclasses.replace(rig, drive_lines=(line,))
    swapped = dataclasses.replace(
        one, amplifier_places=(dataclasses.replace(first, sheet="amplifier 1"), *others)
    )
    seconds = median_seconds(lambda: (check_lines(one), check_lines(swapped)))
    before, after = check_lines(one)[0], check_lines(swapped)[0]
    assert before.voltage_low_v != after.voltage_low_v
    yield Figure(
        "electrical.what_if_ms",
        1000 * seconds,
        "ms",
        note="calc's part: one line of a rig of 24 checked before and after a swap; no page",
    )
