"""Data sheets as columns, one row a sheet; worked out once, looked up by many lines."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from calc.electrical.amplifiers import output_impedance_ohm, rated_points
from calc.electrical.cables import run_resistance
from calc.electrical.gain import line_gain
from calc.electrical.impedance import lowest_of
from calc.electrical.limiters import peak_volts, rated_volts, stated_peak_volts
from calc.electrical.loads import least_load
from calc.system import AmplifierSheet, CableSheet, Choices, Mode, Role, Way

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.intp]

MODES: tuple[Mode, ...] = get_args(Mode)


def floats(values: Iterable[float | None]) -> Floats:
    """None becomes NaN."""
    return np.array([np.nan if v is None else v for v in values], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class WayTable:
    """One row a way (with the role of its box): ohm, W, V. `curved` ways are not covered."""

    rated_ohm: Floats
    minimum_ohm: Floats
    noise_w: Floats
    rated_v: Floats
    limiter_peak_v: Floats
    peak_v: Floats
    sub: Flags
    curved: Flags
    pole_pair: Floats

    @classmethod
    def of(cls, ways: Sequence[tuple[Way, Role]]) -> "WayTable":
        """From ways and the roles of their boxes."""
        return cls(
            floats(way.rated_impedance_ohm.value for way, _ in ways),
            floats(lowest_of(way).ohm for way, _ in ways),
            floats(way.noise_power_w.value for way, _ in ways),
            floats(rated_volts(way) for way, _ in ways),
            floats(peak_volts(way) for way, _ in ways),
            floats(stated_peak_volts(way) for way, _ in ways),
            np.array([role == "sub" for _, role in ways], dtype=np.bool_),
            np.array([way.impedance_curve is not None for way, _ in ways], dtype=np.bool_),
            floats(way.pole_pair for way, _ in ways),
        )


@dataclass(frozen=True, slots=True)
class CableTable:
    """One row a cable: loop resistance in ohm of one piece, and its pole pairs."""

    loop_ohm: Floats
    pole_pairs: Floats

    @classmethod
    def of(cls, cables: Sequence[CableSheet], choices: Choices) -> "CableTable":
        """From cable sheets, by the event's choices."""
        return cls(
            floats(run_resistance(cable, 1, choices).loop_ohm for cable in cables),
            floats(cable.pole_pairs for cable in cables),
        )


@dataclass(frozen=True, slots=True)
class AmplifierTable:
    """Three rows a sheet, one for each mode (row = 3 x sheet + mode).

    `loads_ohm` (rows, most ratings) rises along each row and ends in infinity; `volts` and `amps`
    are sqrt(P Z) and sqrt(P / Z) of the same ratings.
    """

    loads_ohm: Floats
    volts: Floats
    amps: Floats
    least_ohm: Floats
    least_is_true: Flags
    mode_stated: Flags
    output_ohm: Floats
    gain_db: Floats
    extra_gain_db: Floats
    peak_v: Floats

    @classmethod
    def of(cls, sheets: Sequence[AmplifierSheet]) -> "AmplifierTable":
        """From amplifier sheets."""
        rows = [(sheet, mode) for sheet in sheets for mode in MODES]
        points = [rated_points(sheet, mode) for sheet, mode in rows]
        most = max((len(row) for row in points), default=0) + 1
        loads = np.full((len(rows), most), np.inf)
        powers = np.full((len(rows), most), np.nan)
        for number, row in enumerate(points):
            for column, (load, power) in enumerate(row):
                loads[number, column], powers[number, column] = load, power
        least = [least_load(sheet, mode) for sheet, mode in rows]
        bridged = floats(2.0 if mode == "bridged" else 1.0 for _, mode in rows)
        return cls(
            loads_ohm=loads,
            volts=np.sqrt(powers * np.where(np.isnan(powers), 1, loads)),
            amps=np.sqrt(powers / loads),
            least_ohm=floats(one.ohm for one in least),
            least_is_true=np.array([one.kind == "true" for one in least], dtype=np.bool_),
            mode_stated=np.array([one.mode_stated for one in least], dtype=np.bool_),
            output_ohm=floats(output_impedance_ohm(sheet, mode) for sheet, mode in rows),
            gain_db=floats(line_gain(sheet, mode).db for sheet, mode in rows),
            extra_gain_db=floats(line_gain(sheet, mode, 0.0).db for sheet, mode in rows),
            peak_v=bridged * floats(sheet.peak_v.value for sheet, _ in rows),
        )
