"""Volts along a drive line: boxes in parallel at the ends of cable resistances."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Rung:
    """A box of `load_ohm` at the end of `loop_ohm`, from the amplifier or from the box before.

    None where unknown.
    """

    loop_ohm: float | None
    load_ohm: float | None
    from_amplifier: bool


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
    shares: list[float | None] = []
    for run in _runs(rungs):
        shares.extend(_run_shares(run))
    return shares


def input_ohm(rungs: Sequence[Rung]) -> float | None:
    """What the amplifier drives, cable included; None when a part is unknown."""
    inputs = [_inputs(run) for run in _runs(rungs)]
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
    single box this is Z / (Zo + R).

    Parameters
    ----------
    output_ohm : float or None
        The amplifier's source impedance, None if unknown.
    """
    shares = shares_of_terminals(rungs)
    load = input_ohm(rungs)
    if output_ohm is None or load is None:
        return [None] * len(shares)
    terminals = load / (output_ohm + load)
    return [None if s is None else _damping(s * terminals) for s in shares]


def damping_factors_at_best(rungs: Sequence[Rung]) -> list[float | None]:
    """Damping factor that even an amplifier of no source impedance could not exceed."""
    return [None if s is None else _damping(s) for s in shares_of_terminals(rungs)]


def _damping(share: float) -> float | None:
    # (E - V) / I with I = V / Z gives Z / ((E - V) / I) = V / (E - V); no drop has no figure.
    return share / (1 - share) if share < 1 else None


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
