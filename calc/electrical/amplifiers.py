"""What an amplifier can put into a load, also between the loads of its data sheet."""

import math
from dataclasses import dataclass

from calc.constants import DAMPING_REFERENCE_OHM
from calc.system import AmplifierSheet, Mode
from calc.words import number

SAME_LOAD = 1e-6


@dataclass(frozen=True, slots=True)
class VoltageBounds:
    """Sine volts (rms) of the whole line between two bounds, or why they are unknown.

    Between two rated loads the amplifier is limited by its voltage or by its current: the low
    bound serves headroom, the high one the protection of the box.
    """

    low_v: float | None
    high_v: float | None
    working: str = ""
    assumed: tuple[str, ...] = ()
    missing: str = ""


UNKNOWN_BOUNDS = VoltageBounds(None, None)


def rated_points(sheet: AmplifierSheet, mode: Mode) -> list[tuple[float, float]]:
    """(load in ohm, sine power in W) of a mode where the power is known, lowest load first."""
    return sorted(
        (rating.load_ohm, rating.power_w.value)
        for rating in sheet.ratings
        if rating.mode == mode and rating.power_w.value is not None
    )


def bounds_between(
    points: list[tuple[float, float]], load_ohm: float
) -> tuple[float, float] | None:
    """Lowest and highest rms volts into a load, by the rated loads on either side of it.

    With V = sqrt(P Z) and I = sqrt(P / Z): low = max(V at the next lower load, I at the next
    higher load x Z), high = min(V at the next higher load, I at the next lower load x Z). At a
    rated load both are its own voltage.

    Returns
    -------
    (low, high) in V, or None outside of the rated loads.
    """
    for load, power in points:
        if math.isclose(load, load_ohm, rel_tol=SAME_LOAD):
            volts = math.sqrt(power * load)
            return volts, volts
    below = [point for point in points if point[0] < load_ohm]
    above = [point for point in points if point[0] > load_ohm]
    if not below or not above:
        return None
    (z_below, p_below), (z_above, p_above) = below[-1], above[0]
    low = max(math.sqrt(p_below * z_below), math.sqrt(p_above / z_above) * load_ohm)
    high = min(math.sqrt(p_above * z_above), math.sqrt(p_below / z_below) * load_ohm)
    # A sheet whose powers contradict each other may turn the bounds round.
    return min(low, high), max(low, high)


def voltage_bounds(sheet: AmplifierSheet, mode: Mode, load_ohm: float) -> VoltageBounds:
    """Sine volts that the amplifier gives to a line in a mode.

    Parameters
    ----------
    load_ohm : float
        Rated impedance of the whole line, above 0.

    Notes
    -----
    Without a rating of the mode at this load, a bridged pair is read as twice one channel's
    volts at half the load, a paralleled pair as one channel's volts at double the load; both
    are named as assumed.
    """
    own = bounds_between(rated_points(sheet, mode), load_ohm)
    if own is not None:
        return VoltageBounds(*own, _working(sheet, mode, load_ohm, own), _burst(sheet, mode))
    if mode != "per channel":
        return _from_one_channel(sheet, mode, load_ohm)
    return VoltageBounds(
        None, None, missing=f"a power rating of '{sheet.name}' around {number(load_ohm)} ohm"
    )


def peak_bounds(
    sheet: AmplifierSheet, mode: Mode, bounds: VoltageBounds
) -> tuple[float | None, float | None]:
    """Highest instantaneous volts of the line: what is sure, and what is possible.

    Sure is the peak of the low-bound sine (or the stated peak, where that is lower), possible
    the stated peak (twice in bridged mode), or the peak of the high-bound sine where that is
    higher or nothing is stated.
    """
    stated = sheet.peak_v.value
    if stated is not None and mode == "bridged":
        stated *= 2
    low, high = (None if v is None else math.sqrt(2) * v for v in (bounds.low_v, bounds.high_v))
    if stated is None:
        return low, high
    return None if low is None else min(low, stated), max(high or 0.0, stated)


def output_impedance_ohm(sheet: AmplifierSheet, mode: Mode) -> float | None:
    """Source impedance of a line: 8 ohm / damping factor, doubled bridged, halved paralleled."""
    damping = sheet.damping_factor.value
    if damping is None:
        return None
    return {"per channel": 1.0, "bridged": 2.0, "parallel": 0.5}[mode] * (
        DAMPING_REFERENCE_OHM / damping
    )


def _from_one_channel(sheet: AmplifierSheet, mode: Mode, load_ohm: float) -> VoltageBounds:
    share, times = (0.5, 2.0) if mode == "bridged" else (2.0, 1.0)
    one = bounds_between(rated_points(sheet, "per channel"), share * load_ohm)
    if one is None:
        return VoltageBounds(
            None,
            None,
            missing=f"a {mode} power rating of '{sheet.name}' around {number(load_ohm)} ohm",
        )
    both = (times * one[0], times * one[1])
    how = (
        "twice one channel's volts at half the load"
        if mode == "bridged"
        else "one channel's volts at double the load"
    )
    return VoltageBounds(
        *both,
        _working(sheet, mode, load_ohm, both),
        (
            f"'{sheet.name}' has no {mode} rating at {number(load_ohm)} ohm: read as {how}.",
            *_burst(sheet, "per channel"),
        ),
    )


def _working(
    sheet: AmplifierSheet, mode: Mode, load_ohm: float, bounds: tuple[float, float]
) -> str:
    low, high = bounds
    if math.isclose(low, high, rel_tol=SAME_LOAD):
        volts = f"{number(low, 4)} V"
    else:
        volts = f"between {number(low, 4)} V (current or voltage limited) and {number(high, 4)} V"
    return (
        f"'{sheet.name}' {mode} into {number(load_ohm)} ohm: {volts}, V = sqrt(P Z), "
        f"{_signals(sheet)}."
    )


def _signals(sheet: AmplifierSheet) -> str:
    """What the ratings were stated for, in words."""
    stated = sorted({rating.signal for rating in sheet.ratings if rating.signal != "not stated"})
    if not stated:
        return "rating basis not stated, read as a continuous sine"
    return "rated with " + " and ".join(f"a {signal}" for signal in stated)


def _burst(sheet: AmplifierSheet, mode: Mode) -> tuple[str, ...]:
    if any(r.signal == "burst" and r.mode == mode for r in sheet.ratings):
        return (f"'{sheet.name}': its power is that of a burst; a long tone gives less.",)
    return ()
