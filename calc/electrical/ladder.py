"""Volts along a drive line of rated (real) impedances, also where a part is unknown.

`calc.electrical.network` solves the same line for complex impedances, currents and powers.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.electrical.series import groups

LEAST_SHARE = 1e-15
"""300 dB down: what is left at the far end of an endless line, so that it has a logarithm."""


@dataclass(frozen=True, slots=True)
class Rung:
    """A box of `load_ohm` at the end of `loop_ohm`, from the amplifier or from the box before.

    With `in_series` the box stands in series with the one before it and the loop lies between
    the two. None where unknown.
    """

    loop_ohm: float | None
    load_ohm: float | None
    from_amplifier: bool
    in_series: bool = False


def shares_of_terminals(rungs: Sequence[Rung]) -> list[float | None]:
    """Each box's voltage as a share of the voltage at the amplifier's terminals.

    Loads are real resistances (rated impedances). One unknown part makes the whole cable run
    that it belongs to unknown; other runs from the same amplifier are not affected.

    Parameters
    ----------
    rungs : sequence of Rung
        In the order of the line; the first is taken to start at the amplifier.

    Returns
    -------
    list of float or None, in (0, 1]
    """
    found: list[float | None] = []
    for share, group in zip(_group_shares(rungs), _grouped(rungs), strict=True):
        whole = _together(group).load_ohm
        for rung in group:
            if share is None or whole is None or rung.load_ohm is None:
                found.append(None)
            else:
                found.append(max(share * (rung.load_ohm / whole), LEAST_SHARE))
    return found


def shares_without_cable(rungs: Sequence[Rung]) -> list[float | None]:
    """Each box's share with no resistance in any cable: 1 in parallel, less in series."""
    found: list[float | None] = []
    for group in _grouped(rungs):
        loads = [rung.load_ohm for rung in group]
        known = [load for load in loads if load is not None]
        complete = len(known) == len(loads)
        if len(group) == 1:
            found.append(1.0)
            continue
        found += [load / sum(known) if complete and load is not None else None for load in loads]
    return found


def input_ohm(rungs: Sequence[Rung]) -> float | None:
    """What the amplifier drives, cable included; None when a part is unknown."""
    inputs = [_inputs(run) for run in _runs(_collapsed(rungs))]
    admittance = 0.0
    for run_inputs in inputs:
        if run_inputs is None:
            return None
        admittance += 1 / run_inputs[0]
    return 1 / admittance if admittance else None


def damping_factors(rungs: Sequence[Rung], output_ohm: float | None) -> list[float | None]:
    """Damping factor at each box, every box driven alike.

    The box's rated impedance over the effective source impedance (E - V) / I at its terminals,
    E the amplifier's source voltage; shared cable counts for all that flows through it. For a
    single box this is Z / (Zo + R). Boxes in series count as one box, as equal ones move alike.

    Parameters
    ----------
    output_ohm : float or None
        The amplifier's source impedance, None if unknown.
    """
    load = input_ohm(rungs)
    if output_ohm is None or load is None:
        return [None] * len(rungs)
    return _dampings(rungs, load / (output_ohm + load))


def damping_factors_at_best(rungs: Sequence[Rung]) -> list[float | None]:
    """Damping factor that even an amplifier of no source impedance could not exceed."""
    return _dampings(rungs, 1.0)


def _dampings(rungs: Sequence[Rung], terminals: float) -> list[float | None]:
    found: list[float | None] = []
    for share, group in zip(_group_shares(rungs), _grouped(rungs), strict=True):
        whole = _together(group).load_ohm
        loads = [rung.load_ohm for rung in group if rung.load_ohm is not None]
        if share is None or whole is None:
            found += [None] * len(group)
        else:
            found += [_damping(share * sum(loads) / whole * terminals)] * len(group)
    return found


def _damping(share: float) -> float | None:
    # (E - V) / I with I = V / Z gives Z / ((E - V) / I) = V / (E - V); no drop has no figure.
    return share / (1 - share) if share < 1 else None


def _grouped(rungs: Sequence[Rung]) -> list[list[Rung]]:
    return [[rungs[i] for i in group] for group in groups([rung.in_series for rung in rungs])]


def _together(group: Sequence[Rung]) -> Rung:
    """Boxes in series, and the cable between them, as one load."""
    if len(group) == 1:
        return group[0]
    ohms = [rung.load_ohm for rung in group] + [rung.loop_ohm for rung in group[1:]]
    known = [ohm for ohm in ohms if ohm is not None]
    load = sum(known) if len(known) == len(ohms) else None
    return Rung(group[0].loop_ohm, load, group[0].from_amplifier)


def _collapsed(rungs: Sequence[Rung]) -> list[Rung]:
    return [_together(group) for group in _grouped(rungs)]


def _group_shares(rungs: Sequence[Rung]) -> list[float | None]:
    """Each group's voltage as a share of the voltage at the amplifier's terminals."""
    return [share for run in _runs(_collapsed(rungs)) for share in _run_shares(run)]


def _runs(rungs: Sequence[Rung]) -> list[list[Rung]]:
    runs: list[list[Rung]] = []
    for rung in rungs:
        if rung.from_amplifier or not runs:
            runs.append([])
        runs[-1].append(rung)
    return runs


def _inputs(run: Sequence[Rung]) -> list[float] | None:
    """Resistance seen into each rung's cable, towards the end of the run."""
    inputs: list[float] = []
    beyond: float | None = None
    for rung in reversed(run):
        if rung.loop_ohm is None or rung.load_ohm is None:
            return None
        node = rung.load_ohm if beyond is None else 1 / (1 / rung.load_ohm + 1 / beyond)
        beyond = rung.loop_ohm + node
        inputs.append(beyond)
    return inputs[::-1]


def _run_shares(run: Sequence[Rung]) -> list[float | None]:
    inputs = _inputs(run)
    if inputs is None:
        return [None] * len(run)
    share, shares = 1.0, list[float | None]()
    for rung, seen in zip(run, inputs, strict=True):
        share *= 1 - (rung.loop_ohm or 0.0) / seen
        shares.append(share)
    return shares
