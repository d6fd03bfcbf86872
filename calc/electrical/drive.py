"""A drive line at full drive: what flows where, what the cables take and how warm they get."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from calc.electrical.impedance import band_of, impedance_at, log_spaced
from calc.electrical.line_figures import BoxFigures, LineFigures
from calc.electrical.network import NetworkBox, Solution, solve
from calc.prediction import RunResult
from calc.words import number

WARM_W_PER_M = 1.0
"""W/m. Above this a cable is laid out, never coiled. Common practice, no source."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BoxDrive:
    """One box at full drive; None where unknown. Fields as in `BoxResult`."""

    current_a: float | None = None
    power_w: float | None = None
    tilt_db: float | None = None
    loss_most_db: float | None = None


@dataclass(frozen=True, slots=True)
class LineDrive:
    """One line at full drive. Fields as in `LineResult`."""

    boxes: tuple[BoxDrive, ...]
    runs: tuple[RunResult, ...]
    loss_w: float | None
    loss_share: float | None
    assumed: tuple[str, ...]
    cautions: tuple[str, ...]


def line_drive(figures: LineFigures) -> LineDrive:
    """Solve a line for its drive voltage.

    Cable runs with an unknown part stay unknown, all others are solved. Where impedance curves
    are known, powers and currents are those of pink noise over the band that all curves cover;
    else the boxes are their rated resistances.
    """
    runs = _bare_runs(figures)
    kept = [index for index, known in enumerate(_known(figures)) if known]
    boxes = [BoxDrive() for _ in figures.boxes]
    if not kept:
        return LineDrive(tuple(boxes), runs, None, None, (), ())
    frequency, assumed = _frequencies([figures.boxes[i] for i in kept])
    complete = len(kept) == len(boxes)
    solution = solve(
        _network(figures, kept, frequency),
        output_ohm=figures.output_ohm or 0.0 if complete else 0.0,
    )
    scale = _scale(figures, kept, solution)
    found, losses = list(runs), solution.loss_db
    for row, index in enumerate(kept):
        boxes[index] = _box_drive(solution, row, scale, losses[row], frequency is not None)
        found[index] = _driven_run(runs[index], solution, row, scale)
    lost, given = float(solution.cable_w.sum(axis=0).mean()), float(solution.terminals_w.mean())
    return LineDrive(
        tuple(boxes),
        tuple(found),
        scale**2 * lost if complete and scale is not None else None,
        lost / given if complete and given > 0 else None,
        assumed,
        _cautions(found),
    )


def _known(figures: LineFigures) -> list[bool]:
    """Per box whether everything on its own cable run is known."""
    whole: list[list[bool]] = []
    for link, box in zip(figures.line.links, figures.boxes, strict=True):
        if link.from_amplifier or not whole:
            whole.append([])
        whole[-1].append(
            box.run.loop_ohm is not None and box.way.rated_impedance_ohm.value is not None
        )
    return [all(run) for run in whole for _ in run]


def _frequencies(boxes: Sequence[BoxFigures]) -> tuple[Floats | None, tuple[str, ...]]:
    """Where all curves are known within the band, or None to take rated impedances."""
    curves = [box.way.impedance_curve for box in boxes if box.way.impedance_curve is not None]
    if not curves:
        return None, ()
    low = max(curve.frequency_hz[0] for curve in curves)
    high = min(curve.frequency_hz[-1] for curve in curves)
    band = band_of([box.way for box in boxes])
    if band is not None:
        low, high = max(low, band[0]), min(high, band[1])
    if low >= high:
        return None, (
            "The impedance curves have no common frequencies: rated impedances are used.",
        )
    said = [f"Powers and currents are those of pink noise from {number(low)} to {number(high)} Hz."]
    if len(curves) < len(boxes):
        said.append("Boxes without an impedance curve are taken as their rated resistance.")
    if any(not curve.phase_deg for curve in curves):
        said.append("Impedance curves without phase are taken as resistances.")
    return log_spaced(low, high), tuple(said)


def _network(
    figures: LineFigures, kept: Sequence[int], frequency: Floats | None
) -> list[NetworkBox]:
    found: list[NetworkBox] = []
    sampled: dict[int, object] = {}
    head: str | None = None
    for index in kept:
        link, box = figures.line.links[index], figures.boxes[index]
        curve, rated = box.way.impedance_curve, box.way.rated_impedance_ohm.value
        assert rated is not None and box.run.loop_ohm is not None
        impedance: object = rated
        if curve is not None and frequency is not None:
            if id(curve) not in sampled:
                sampled[id(curve)] = impedance_at(curve, frequency)
            impedance = sampled[id(curve)]
        name = str(index)
        after = None if link.from_amplifier else found[-1].name
        if not link.series_with_previous and after is not None:
            after = head
        if not link.series_with_previous:
            head = name
        found.append(
            NetworkBox(name, after, box.run.loop_ohm, impedance, link.series_with_previous)  # type: ignore[arg-type]
        )
    return found


def _scale(figures: LineFigures, kept: Sequence[int], solution: Solution) -> float | None:
    """From the solved 1 V source to the drive volts at the terminals, into rated impedances."""
    drive = figures.drive_v
    if drive is None:
        return None
    if not solution.output_ohm:
        return drive / solution.source_v
    rated = solve(_network(figures, kept, None), output_ohm=solution.output_ohm)
    return drive / abs(complex(rated.terminals_v[0]))


def _box_drive(
    solution: Solution, row: int, scale: float | None, loss: Floats, curved: bool
) -> BoxDrive:
    if scale is None:
        current = power = None
    else:
        current = scale * math.sqrt(float(np.mean(np.abs(solution.box_a[row]) ** 2)))
        power = scale**2 * float(solution.box_w[row].mean())
    tilt = float(loss.max() - loss.min()) if curved else None
    return BoxDrive(current, power, tilt, max(0.0, float(loss.max())))


def _bare_runs(figures: LineFigures) -> tuple[RunResult, ...]:
    found: list[RunResult] = []
    head = ""
    for index, (link, box) in enumerate(zip(figures.line.links, figures.boxes, strict=True)):
        start = head
        if link.from_amplifier:
            start = ""
        elif link.series_with_previous:
            start = figures.line.links[index - 1].placement
        if not link.series_with_previous:
            head = link.placement
        found.append(
            RunResult(
                start=start,
                placement=link.placement,
                cable=link.cable,
                length_m=box.run.length_m,
                loop_ohm=box.run.loop_ohm,
                current_a=None,
                loss_w=None,
                heat_w_per_m=None,
                in_series=link.series_with_previous,
            )
        )
    return tuple(found)


def _driven_run(run: RunResult, solution: Solution, row: int, scale: float | None) -> RunResult:
    if scale is None:
        return run
    current = scale * math.sqrt(float(np.mean(np.abs(solution.cable_a[row]) ** 2)))
    loss = scale**2 * float(solution.cable_w[row].mean())
    heat = loss / run.length_m if run.length_m else None
    return replace(run, current_a=current, loss_w=loss, heat_w_per_m=heat)


def _cautions(runs: Sequence[RunResult]) -> tuple[str, ...]:
    return tuple(
        f"The cable to {run.placement} warms with {number(run.heat_w_per_m)} W a metre at full "
        "drive: lay it out straight, never coiled on a drum or bundled (common practice, no "
        "source)."
        for run in runs
        if run.heat_w_per_m is not None and run.heat_w_per_m > WARM_W_PER_M
    )
