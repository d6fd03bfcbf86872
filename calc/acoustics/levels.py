"""How loud the rig is and can be: which line reaches its limit first, and what that leaves.

Pink noise from 25 Hz to 20 kHz stands for the programme: each way gets its bands' share of it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from calc.acoustics import bands
from calc.acoustics.drawable import filter_power
from calc.acoustics.sources import Drawn
from calc.constants import VOLT_AT_0_DBU
from calc.lookup import Lookup
from calc.prediction import LineLevel, LineResult, RigLevels
from calc.signals.outputs import Played, played_by
from calc.system import DriveLine, SystemDescription
from calc.words import joined, level


@dataclass(frozen=True, slots=True)
class Balance:
    """Every line's level against its own limit, in dB.

    `at_0_dbu` is by how much a line with the programme at 0 dBu exceeds what its limiter or
    amplifier allows (below 0: is under it); None where a gain is unknown. `volts` is its voltage
    then. `programme_dbu` None: nobody said.
    """

    at_0_dbu: dict[str, float | None]
    volts: dict[str, float | None]
    programme_dbu: float | None

    @property
    def highest(self) -> float | None:
        """The largest of `at_0_dbu`; None unless all are known."""
        values = [value for value in self.at_0_dbu.values() if value is not None]
        return max(values) if values and len(values) == len(self.at_0_dbu) else None

    def balanced(self) -> dict[str, float] | None:
        """Per line dB re its full drive, turned up until the first reaches its limit."""
        highest = self.highest
        if highest is None:
            return None
        return {name: value - highest for name, value in self.at_0_dbu.items() if value is not None}

    def present(self) -> dict[str, float] | None:
        """Per line dB re its full drive with the programme at the event's level, held at 0."""
        if self.programme_dbu is None or self.highest is None:
            return None
        return {
            name: min(0.0, value + self.programme_dbu)
            for name, value in self.at_0_dbu.items()
            if value is not None
        }


def balance_of(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    drawn: Sequence[Drawn],
) -> Balance:
    """The balance between the lines that sound in the map."""
    sounding = {source.line for source in drawn}
    volts: dict[str, float | None] = {}
    over: dict[str, float | None] = {}
    for line, result in zip(system.drive_lines, lines, strict=True):
        if line.name not in sounding:
            continue
        volts[line.name] = _volts_at_0_dbu(line, result, lookup)
        known, drive = volts[line.name], result.drive_v
        over[line.name] = 20 * math.log10(known / drive) if known and drive else None
    programme = None if system.show is None else system.show.programme_dbu.value
    return Balance(over, volts, programme)


def _volts_at_0_dbu(line: DriveLine, result: LineResult, lookup: Lookup) -> float | None:
    played = played_by(line, lookup)
    if result.gain_db is None or played.gain_db is None:
        return None
    gain = played.gain_db + line.level_control_db + result.gain_db
    return VOLT_AT_0_DBU * 10 ** ((gain + _share_db(line, lookup, played)) / 20)


def _share_db(line: DriveLine, lookup: Lookup, played: Played) -> float:
    """Power of the programme that the line's filters, or else its ways' bands, let through."""
    ways = [lookup.way(link.placement, link.way) for link in line.links]
    middles = bands.mid_bands_hz()
    low = min(way.low_hz.value or 0.0 for way in ways)
    high = max(way.high_hz.value or math.inf for way in ways)
    half = 10**bands.HALF_BAND
    inside = (middles * half > low) & (middles / half < high)
    power = filter_power(bands.band_numbers(), played).mean(axis=1) * inside
    return 10 * math.log10(max(float(np.sum(power)) / len(middles), 1e-12))


def rig_levels(
    system: SystemDescription,
    balance: Balance,
    most: float | None,
    balanced_most: float | None,
    present: float | None,
) -> RigLevels:
    """Put the rig's levels together and say what they mean."""
    target = None if system.show is None else system.show.target_dba.value
    best = most if balanced_most is None else balanced_most
    highest = balance.highest
    first = ""
    if highest is not None:
        first = next(name for name, value in balance.at_0_dbu.items() if value == highest)
    headroom = None if best is None or target is None else best - target
    return RigLevels(
        most_dba=most,
        balanced_most_dba=balanced_most,
        present_dba=present,
        target_dba=target,
        headroom_db=headroom,
        first_to_limit=first,
        lines=tuple(_line_level(name, balance) for name in balance.at_0_dbu),
        sentences=tuple(_sentences(first, headroom, target, balanced_most is not None)),
        unknown=tuple(_unknown(balance, target)),
    )


def _line_level(name: str, balance: Balance) -> LineLevel:
    over, volts, programme = balance.at_0_dbu[name], balance.volts[name], balance.programme_dbu
    highest = balance.highest
    present = None if programme is None or volts is None else volts * 10 ** (programme / 20)
    return LineLevel(
        line=name,
        present_v=present,
        after_first_db=None if highest is None or over is None else highest - over,
        margin_db=None if programme is None or over is None else -(over + programme),
    )


def _sentences(
    first: str, headroom: float | None, target: float | None, balanced: bool
) -> list[str]:
    said = []
    if first:
        said.append(f"Turned up as it is balanced, {first} reaches its limit first.")
    if headroom is not None and target is not None:
        said.append(
            f"{level(headroom)} are left above the wished {level(target, 'dB(A)')}."
            if headroom >= 0
            else f"The rig falls {level(-headroom)} short of the wished {level(target, 'dB(A)')}."
        )
        if not balanced:
            said.append(
                "That is with every line at its own limit: the balance between them is unknown, "
                "and any other balance leaves less."
            )
    return said


def _unknown(balance: Balance, target: float | None) -> list[str]:
    lacking = [name for name, value in balance.at_0_dbu.items() if value is None]
    said = []
    if lacking:
        said.append(
            f"The gain from the processor's input to the boxes is unknown on {joined(lacking)}: "
            "which line limits first cannot be said."
        )
    if balance.programme_dbu is None:
        said.append("The programme's level at the processors is unknown: no present level.")
    if target is None:
        said.append("No level is wished for: there is nothing to hold the rig against.")
    return said
