"""What an amplifier takes from the mains with a programme of a given crest factor."""

from calc.figure import Figure
from calc.system import AmplifierSheet
from calc.words import number

EIGHTH, THIRD = 1 / 8, 1 / 3

EIGHTH_FROM_DB = 12.0
"""dB. 1/8 power is 12.04 dB of crest factor (MATH), called 12; no programme counts as less."""

SHARE_SOURCE = (
    "mean power by circuit theory, not below 1/8 (test condition of IEC 62368-1, from memory); "
    "straight lines between the sheet's powers: common practice, no source"
)


def power_share(crest_factor_db: float) -> float:
    """Mean over rated sine power, 1/8 to 1, of a programme whose peaks reach the sine's peak.

    2 / 10^(crest / 10): a sine has 3 dB of crest factor and all of its power.
    """
    if crest_factor_db >= EIGHTH_FROM_DB:
        return EIGHTH
    return min(1.0, 2 * float(10 ** (-crest_factor_db / 10)))


def programme_power(sheet: AmplifierSheet, share: float) -> tuple[Figure, tuple[str, ...]]:
    """Mains power in W at a share of the rated power, and what had to be assumed.

    Between 1/8 and 1/3 on a straight line, carried on above 1/3. Without the power at 1/3 the
    line runs from idle (from 0 where that is unknown too) through 1/8: more than real amplifiers
    take, as their losses rise less than in proportion. Unknown without the power at 1/8.
    """
    eighth, third = sheet.eighth_power_w.value, sheet.third_power_w.value
    if eighth is None or share <= EIGHTH:
        return sheet.eighth_power_w, ()
    label = f"{sheet.name}: its mains power at {share:.3f} of its rated power"
    if third is None:
        idle = sheet.idle_w.value or 0.0
        watts = idle + (eighth - idle) * share / EIGHTH
        start = "0 (idle is unknown)" if sheet.idle_w.value is None else "idle"
        return _at_least(watts, eighth), (
            f"{label} is assumed, {number(watts)} W: a straight line from {start} through 1/8 "
            "power, as the one at 1/3 is unknown.",
        )
    watts = eighth + (third - eighth) * (share - EIGHTH) / (THIRD - EIGHTH)
    if share <= THIRD + 1e-9:
        return _at_least(watts, eighth), ()
    return _at_least(watts, eighth), (
        f"{label} is assumed, {number(watts)} W: the straight line from 1/8 to 1/3 power, "
        "carried on.",
    )


def share_words(crest_factor_db: float) -> str:
    """The rule as a step of working."""
    share = power_share(crest_factor_db)
    if share == EIGHTH:
        return (
            f"Programme of {number(crest_factor_db)} dB crest factor: 1/8 power counts, the least "
            f"that is reckoned with ({SHARE_SOURCE})."
        )
    return (
        f"Programme of {number(crest_factor_db)} dB crest factor: its mean power is 2 / "
        f"10^({number(crest_factor_db)} / 10) = {share:.3f} of the rated power "
        f"({SHARE_SOURCE})."
    )


def _at_least(watts: float, eighth: float) -> Figure:
    """Never below the power at 1/8, also where a sheet's figures contradict each other."""
    return Figure(max(watts, eighth), "assumed")
