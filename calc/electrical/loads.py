"""The load that a drive line puts on one amplifier channel."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.electrical.impedance import lowest_of_line
from calc.electrical.series import groups
from calc.system import AmplifierSheet, Mode, ModeLimits, Way


@dataclass(frozen=True, slots=True)
class LineLoad:
    """Impedance of all boxes of a line together in ohm, with no cable; None where unknown.

    `basis` says what the minimum stands on; `minimum_hz` where it lies, if a curve says so.
    """

    rated_ohm: float | None
    minimum_ohm: float | None
    assumed: tuple[str, ...] = ()
    basis: str = ""
    minimum_hz: float | None = None


@dataclass(frozen=True, slots=True)
class LeastLoad:
    """The least load that an amplifier accepts in a mode, in ohm of the whole line.

    `kind` is "rated" or "true" as in `ModeLimits`; `source` names where it comes from.
    `mode_stated` is False when the data sheet does not mention the mode at all.
    """

    ohm: float | None
    kind: str
    source: str
    assumed: tuple[str, ...] = ()
    mode_stated: bool = True


def parallel_ohm(impedances_ohm: Sequence[float]) -> float:
    """Impedances in parallel, 1 / sum(1/Z). All above zero; at least one."""
    return 1 / sum(1 / z for z in impedances_ohm)


def channels_of(mode: Mode) -> int:
    """How many channels a line takes."""
    return 1 if mode == "per channel" else 2


def per_channel_ohm(line_ohm: float, mode: Mode) -> float:
    """What one channel sees of the line: half when bridged, double when paralleled."""
    return {"per channel": 1.0, "bridged": 0.5, "parallel": 2.0}[mode] * line_ohm


def line_load(ways: Sequence[Way], in_series: Sequence[bool] | None = None) -> LineLoad:
    """Rated and minimum impedance of the ways together.

    Parameters
    ----------
    in_series : sequence of bool, optional
        Whether a way stands in series with the one before it; left out, all are in parallel.

    Notes
    -----
    The minimum is the lowest magnitude over the band where impedance curves are known, else the
    stated minimum, else 0.8 of the rated impedance (IEC 60268-5). A way without any of them
    leaves the line's figure unknown.
    """
    if not ways:
        return LineLoad(None, None)
    joined = [False] * len(ways) if in_series is None else list(in_series)
    lowest = lowest_of_line(ways, joined)
    taken = sorted(
        {
            f"Way '{w.name}' has no stated minimum impedance: taken as 0.8 of its rated one "
            "(IEC 60268-5)."
            for w in ways
            if not w.minimum_impedance_ohm.known
            and w.rated_impedance_ohm.known
            and w.impedance_curve is None
        }
    )
    return LineLoad(
        _rated([way.rated_impedance_ohm.value for way in ways], joined),
        lowest.ohm,
        tuple(taken) + lowest.assumed,
        lowest.basis,
        lowest.at_hz,
    )


def least_load(sheet: AmplifierSheet, mode: Mode) -> LeastLoad:
    """The least load of a mode: stated, else from the channel's own by circuit theory."""
    stated = limits_of(sheet, mode)
    if stated is not None and stated.minimum_load_ohm.value is not None:
        figure = stated.minimum_load_ohm
        return LeastLoad(
            figure.value, stated.minimum_kind, f"amplifier's minimum load ({figure.basis})"
        )
    mentioned = stated is not None or any(r.mode == mode for r in sheet.ratings)
    single = limits_of(sheet, "per channel")
    if mode == "per channel" or single is None or single.minimum_load_ohm.value is None:
        return LeastLoad(None, "rated", "amplifier data sheet", mode_stated=mentioned)
    factor, words = (2.0, "twice") if mode == "bridged" else (0.5, "half")
    return LeastLoad(
        factor * single.minimum_load_ohm.value,
        single.minimum_kind,
        "circuit theory, from one channel's minimum (common practice, no source)",
        (f"The least {mode} load is taken as {words} one channel's: the sheet states none.",),
        mentioned,
    )


def limits_of(sheet: AmplifierSheet, mode: Mode) -> ModeLimits | None:
    """The sheet's limits of a mode, None where it has none."""
    return next((limits for limits in sheet.modes if limits.mode == mode), None)


def _rated(values: Sequence[float | None], in_series: Sequence[bool]) -> float | None:
    known = [value for value in values if value is not None]
    if len(known) < len(values):
        return None
    return parallel_ohm([sum(known[i] for i in group) for group in groups(in_series)])
