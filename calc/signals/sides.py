"""One side of an alignment at its spot: when it arrives, and its complex sum over frequency."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.acoustics.geometry import NEAREST_M
from calc.constants import VOLT_AT_0_DBU
from calc.lookup import Lookup
from calc.prediction import LineResult
from calc.signals.delays import Ways
from calc.signals.driver import Models
from calc.signals.measured import arrival_ms, measured_at
from calc.signals.outputs import played_by
from calc.signals.response import delay_turn
from calc.system import DriveLine, Link, ListeningSpot, MeasuredResponse, SystemDescription
from calc.words import joined

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

Balance = dict[str, float] | None
"""Per line, at the boxes: volts for 0 dBu at the processor's input over volts at full drive."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What sides are made from: the rig, its ways to the spot, frequencies, what was measured.

    `volts` are each box way's at full drive. `measured` has every line of both sides or none.
    """

    system: SystemDescription
    lookup: Lookup
    ways: Ways
    models: Models
    volts: dict[tuple[str, str], float | None]
    balance: Balance
    measured: dict[str, MeasuredResponse]

    @property
    def hz(self) -> Floats:
        """The frequencies, (frequencies,)."""
        return self.models.hz


@dataclass(frozen=True, slots=True)
class Side:
    """Some drive lines at a spot, everything as set.

    `pressure` (frequencies,) is their complex sum with the event's air; re anything that both
    sides share. `arrival_ms` is when the first of them arrives with flight, delay and latency,
    `distance_m` how far that box is. `delay_ms` is the least delay that is set, `inverted`
    whether its outputs are (None: some are). `unsaid` says whose processing is unknown,
    `no_level` and `no_phase` whose levels and phases, `assumed` what was taken instead.
    """

    lines: tuple[str, ...]
    pressure: Complex
    arrival_ms: float
    distance_m: float
    delay_ms: float
    inverted: bool | None
    sheets: frozenset[str]
    unsaid: tuple[str, ...]
    no_level: tuple[str, ...]
    no_phase: tuple[str, ...]
    assumed: tuple[str, ...]

    @property
    def plays(self) -> bool:
        """Whether any of it sounds."""
        return bool(np.any(self.pressure))


def setting_of(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    spot: ListeningSpot,
    wanted: Sequence[str],
    models: Models,
) -> Setting:
    """What the sides of one alignment, of the lines `wanted`, are made from."""
    at_spot = {part.line: part for part in system.measured if part.spot == spot.name}
    whole = set(wanted) <= set(at_spot)
    return Setting(
        system=system,
        lookup=lookup,
        ways=Ways(lookup, spot),
        models=models,
        volts={(b.placement, b.way): b.voltage_v for line in lines for b in line.boxes},
        balance=_balance(lookup, lines, wanted, whole),
        measured={name: at_spot[name] for name in wanted} if whole else {},
    )


def _balance(
    lookup: Lookup, lines: Sequence[LineResult], wanted: Sequence[str], measured: bool
) -> Balance:
    """How loud each line is as set; None unless it is known of all."""
    results = {line.name: line for line in lines}
    found = {}
    for name in wanted:
        line, result = lookup.lines[name], results[name]
        gain = played_by(line, lookup).gain
        if gain is None:
            return None
        if measured:  # what lies behind the output is in the measurement
            found[name] = gain
            continue
        if result.gain_db is None or not result.drive_v:
            return None
        behind = 10 ** ((result.gain_db + line.level_control_db) / 20)
        found[name] = VOLT_AT_0_DBU * gain * behind / result.drive_v
    return found


def side_of(setting: Setting, names: Sequence[str]) -> Side:
    """Add the lines of one side up."""
    lines = [setting.lookup.lines[name] for name in names]
    played = [played_by(line, setting.lookup) for line in lines]
    pressure = np.zeros(len(setting.hz), dtype=np.complex128)
    arrivals: list[tuple[float, float]] = []
    no_level: list[str] = []
    no_phase: list[str] = []
    assumed: list[str] = []
    for line, output in zip(lines, played, strict=True):
        share = 1.0 if setting.balance is None else setting.balance[line.name]
        heard = (_measured_line if setting.measured else _placed_line)(setting, line)
        pressure += share * output.late_response(setting.hz) * heard.pressure
        arrivals += [(flight + output.late_ms, away) for flight, away in heard.flights]
        no_level += heard.no_level
        no_phase += heard.no_phase
        assumed += heard.assumed
    first = min(arrivals, default=(0.0, 0.0))
    signs = {output.inverted for output in played}
    return Side(
        lines=tuple(names),
        pressure=pressure,
        arrival_ms=first[0],
        distance_m=first[1],
        delay_ms=min(output.delay_ms for output in played),
        inverted=signs.pop() if len(signs) == 1 else None,
        sheets=frozenset(output.model for output in played if output.latency_ms is None),
        unsaid=tuple(_unsaid(lines, setting.lookup)),
        no_level=tuple(dict.fromkeys(no_level)),
        no_phase=tuple(dict.fromkeys(no_phase)),
        assumed=tuple(dict.fromkeys(assumed)),
    )


def _unsaid(lines: Sequence[DriveLine], lookup: Lookup) -> Iterator[str]:
    silent = [line.name for line in lines if played_by(line, lookup).output is None]
    if silent:
        yield (
            f"What the processor is set to for {joined(silent)} is unknown: enter its output's "
            "filters and delay."
        )


@dataclass(frozen=True, slots=True)
class _Heard:
    """One line at the spot, behind its processor's output: `flights` are (ms, metres)."""

    pressure: Complex
    flights: tuple[tuple[float, float], ...]
    no_level: tuple[str, ...] = ()
    no_phase: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def _measured_line(setting: Setting, line: DriveLine) -> _Heard:
    response = setting.measured[line.name]
    away = min((m for _, m in setting.ways.flights(line, _event_c(setting))), default=0.0)
    return _Heard(measured_at(response, setting.hz), ((arrival_ms(response), away),))


def _placed_line(setting: Setting, line: DriveLine) -> _Heard:
    """From the boxes' places, data sheets and volts."""
    system, hz = setting.system, setting.hz
    speed = speed_of_sound(system.surroundings.temperature_c)
    loss = loss_db_per_m(hz, system.surroundings)
    total = np.zeros(len(hz), dtype=np.complex128)
    no_level: list[str] = []
    no_phase: list[str] = []
    assumed: list[str] = []
    for link in line.links:
        placement = setting.lookup.placements[link.placement]
        sheet, way = setting.lookup.sheet_of(link.placement), setting.lookup.way(*_key(link))
        name = f"{link.placement} ({way.name})" if way.name else link.placement
        model = f"{sheet.name} ({way.name})" if way.name else sheet.name
        driver = setting.models.driver(sheet, way)
        offset = setting.ways.offset_m(link.placement)
        away = float(np.linalg.norm(offset))
        shape, known = setting.models.toward(sheet, way, placement, offset)
        volts = setting.volts.get(_key(link))
        flight = delay_turn(1000 * away / speed, hz)
        size = 10 ** (-loss * away / 20) / max(away, NEAREST_M)
        total += (volts or 1.0) * driver.pressure * shape * flight * size
        no_level += _no_level(name, driver.lacking, volts)
        if driver.phase == "unknown":
            no_phase.append(
                f"The phase of {name} is unknown: enter its response on the axis, or measure at "
                "the spot."
            )
        if driver.phase == "estimated":
            assumed.append(f"The phase of {model} is worked out from its level, an estimate.")
        if not known:
            assumed.append(f"{model} is taken to radiate all round: its coverage is unknown.")
    flights = tuple(setting.ways.flights(line, _event_c(setting)))
    return _Heard(total, flights, tuple(no_level), tuple(no_phase), tuple(assumed))


def _no_level(name: str, lacking: str, volts: float | None) -> Iterator[str]:
    if lacking:
        yield f"The {lacking} of {name} is unknown: how loud it is cannot be said."
    if volts is None:
        yield f"The voltage at {name} is unknown: complete its line."


def _event_c(setting: Setting) -> float:
    return setting.system.surroundings.temperature_c


def _key(link: Link) -> tuple[str, str]:
    return link.placement, link.way
