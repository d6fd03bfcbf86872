"""Voltage gain of an amplifier from its input to the line."""

import math
from dataclasses import dataclass

from calc.constants import VOLT_AT_0_DBU
from calc.electrical.amplifiers import SAME_LOAD, rated_points
from calc.electrical.loads import limits_of
from calc.system import AmplifierSheet, Mode

BRIDGE_EXTRA_DB = 20 * math.log10(2)


@dataclass(frozen=True, slots=True)
class Gain:
    """Gain in dB with the level control fully up, the mode's extra gain included."""

    db: float | None
    working: str = ""
    assumed: tuple[str, ...] = ()
    missing: str = ""


def dbu(volts: float) -> float:
    """rms volts (above 0) as dBu, re sqrt(0.6) V."""
    return 20 * math.log10(volts / VOLT_AT_0_DBU)


def volts_of_dbu(level_dbu: float) -> float:
    """dBu as rms volts."""
    return float(VOLT_AT_0_DBU * 10 ** (level_dbu / 20))


def line_gain(sheet: AmplifierSheet, mode: Mode, set_to_db: float | None = None) -> Gain:
    """Gain from input to line in a mode: as set, as stated, or else from the sensitivity.

    Parameters
    ----------
    set_to_db : float, optional
        What the amplifier's gain switch is set to, one channel.

    Notes
    -----
    Sensitivity: gain = 20 lg(sqrt(P Z) / U), P the per-channel rating at the load Z that the
    sensitivity U is stated for. Unknown when that rating is missing.
    """
    channel, how, missing = _channel_gain(sheet)
    if set_to_db is not None:
        channel, how = set_to_db, "set on the amplifier"
    if channel is None:
        return Gain(None, missing=missing)
    extra, assumed = _extra(sheet, mode)
    words = how if not extra else f"{how}, {extra:+.1f} dB in {mode} mode"
    return Gain(channel + extra, f"Gain {channel + extra:.2f} dB ({words}).", assumed)


def _channel_gain(sheet: AmplifierSheet) -> tuple[float | None, str, str]:
    if sheet.gain_db.value is not None:
        return sheet.gain_db.value, f"{sheet.gain_db.basis}", ""
    sensitivity, load = sheet.sensitivity_v.value, sheet.sensitivity_load_ohm.value
    if sensitivity is None or load is None:
        return None, "", f"the gain or sensitivity of '{sheet.name}'"
    for rated_load, power in rated_points(sheet, "per channel"):
        if math.isclose(rated_load, load, rel_tol=SAME_LOAD):
            volts = math.sqrt(power * load)
            how = f"{sensitivity:g} V gives {volts:.1f} V, {power:g} W into {load:g} ohm"
            return 20 * math.log10(volts / sensitivity), how, ""
    return None, "", f"the power of '{sheet.name}' at the load of its sensitivity, {load:g} ohm"


def _extra(sheet: AmplifierSheet, mode: Mode) -> tuple[float, tuple[str, ...]]:
    limits = limits_of(sheet, mode)
    if limits is not None:
        return limits.extra_gain_db, ()
    if mode == "bridged":
        words = "Bridging is taken to add 6.02 dB of gain (circuit theory): the sheet says nothing."
        return BRIDGE_EXTRA_DB, (words,)
    return 0.0, ()
