"""How neighbouring ways of a box add up, on its axis and where people listen.

The two meet at one point, the box's own: what lies between the drivers inside of it is in their
measured phases or unknown, and the basis says which.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from calc.acoustics.air import loss_db_per_m, speed_of_sound
from calc.acoustics.geometry import NEAREST_M
from calc.constants import VOLT_OF_SENSITIVITY
from calc.lookup import Lookup
from calc.prediction import CrossoverResult, LineResult
from calc.signals.driver import Models, driver_of
from calc.signals.pair_theory import kind_of, middle_hz, needed_inverted
from calc.signals.response import Complex, Floats, basis_of, delay_turn, group_delay_of
from calc.signals.ways import DrivenWay, Pair, pairs_of
from calc.system import ListeningSpot, SystemDescription
from calc.words import joined

SHOWN_HZ = 1000 * 2 ** (np.arange(-68, 53) / 12)
"""Hz. Twelve to the octave from 19.7 Hz to 20.2 kHz: what the curves are drawn over."""

FINE_PER_OCTAVE = 48
LOWEST_DB = -60.0
"""dB. A null is told as this and no deeper."""


def crossover_results(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    output: tuple[str, int] | None = None,
) -> tuple[CrossoverResult, ...]:
    """Every pair of neighbouring ways whose outputs somebody described.

    Boxes set alike are answered once on the axis, with `also`; at a listening spot the nearest
    of them is.

    Parameters
    ----------
    output : (processor place, number), optional
        Only the boxes that this output feeds.
    """
    found: list[CrossoverResult] = []
    models = Models(SHOWN_HZ, speed_of_sound(system.surroundings.temperature_c))
    for alike in grouped(pairs_of(system, lookup, lines, output)):
        if any(way.played.output is None for way in (alike[0].lower, alike[0].upper)):
            continue
        also = tuple(pair.placement.name for pair in alike[1:])
        found.append(_result(_Heard(system, models, alike[0]), also))
        for spot in system.spots:
            nearest = min(alike, key=lambda pair: float(np.linalg.norm(_offset(pair, spot))))
            found.append(_result(_Heard(system, models, nearest, spot), ()))
    return tuple(found)


def grouped(pairs: Iterator[Pair]) -> list[list[Pair]]:
    """Pairs that are set alike, in the order of their first ones."""
    groups: dict[object, list[Pair]] = {}
    for pair in pairs:
        groups.setdefault(pair.set_like, []).append(pair)
    return list(groups.values())


@dataclass(frozen=True, slots=True)
class _Heard:
    """A pair on its axis (`spot` None) or at a spot."""

    system: SystemDescription
    models: Models
    pair: Pair
    spot: ListeningSpot | None = None

    def pressures(self, hz: Floats) -> tuple[Complex, Complex]:
        """Lower and upper, (frequencies,) each, in 20 uPa, without the common flight and delay."""
        lower, upper = self.pair.lower, self.pair.upper
        least = min(lower.played.delay_ms, upper.played.delay_ms)
        scales = _scales(lower, upper)
        one, other = (
            scale
            * _driver(way, hz)[0]
            * way.played.response(hz)
            * delay_turn(way.played.delay_ms - least, hz)
            * self._toward(way, hz)
            for way, scale in zip((lower, upper), scales, strict=True)
        )
        return one, other

    def total(self, hz: Floats) -> Complex:
        """Both added up."""
        low, high = self.pressures(hz)
        return low + high

    def _toward(self, way: DrivenWay, hz: Floats) -> Complex | float:
        """Distance, air and direction; 1 on the axis at 1 m."""
        if self.spot is None:
            return 1.0
        offset = _offset(self.pair, self.spot)
        away = max(float(np.linalg.norm(offset)), NEAREST_M)
        air = self.system.surroundings
        shape, _ = self.models.at(hz).toward(self.pair.sheet, way.way, self.pair.placement, offset)
        heard: Complex = shape * 10 ** (-loss_db_per_m(hz, air) * away / 20) / away
        return heard

    def grid(self, crossover: float) -> Floats:
        """Finely an octave to both sides of the crossover, which is on it."""
        steps = np.arange(-FINE_PER_OCTAVE, FINE_PER_OCTAVE + 1) / FINE_PER_OCTAVE
        fine: Floats = crossover * 2**steps
        return fine


def _offset(pair: Pair, spot: ListeningSpot) -> Floats:
    box = pair.placement
    return np.array([spot.x_m - box.x_m, spot.y_m - box.y_m, spot.z_m - box.z_m])


def _driver(way: DrivenWay, hz: Floats) -> tuple[Complex, str]:
    """The way's own response for 1 V, and what its phase stands on.

    Without a response on the axis it counts as flat and in phase beyond its band too.
    """
    if way.way.axis_response is not None:
        driver = driver_of(way.way, hz)
        return driver.pressure, driver.phase
    sensitivity, impedance = way.way.sensitivity_db.value, way.way.rated_impedance_ohm.value
    volts = VOLT_OF_SENSITIVITY
    if way.way.sensitivity_basis == "1 W" and impedance is not None:
        volts = math.sqrt(impedance)
    level = 10 ** ((sensitivity or 0.0) / 20) / volts
    return np.full(len(hz), level, dtype=np.complex128), "unknown"


def _scales(lower: DrivenWay, upper: DrivenWay) -> tuple[float, float]:
    """Volts at both boxes, turned up as they are balanced until the first is at full drive.

    Where the level of either is unknown both are made equally loud where they are meant to meet.
    """
    if not levels_known(lower, upper):
        meant = np.array([middle_hz(lower, upper)])
        sizes = [float(abs(_driver(way, meant)[0][0])) or 1.0 for way in (lower, upper)]
        return 1 / sizes[0], 1 / sizes[1]
    volts = [way.volts or 1.0 for way in (lower, upper)]
    if not balanced(lower, upper):
        return volts[0], volts[1]
    over = [10 ** ((way.through_db or 0.0) / 20) / (way.drive_v or 1.0) for way in (lower, upper)]
    most = max(over)
    return volts[0] * over[0] / most, volts[1] * over[1] / most


def levels_known(lower: DrivenWay, upper: DrivenWay) -> bool:
    """Whether the sound of both at full drive is known in dB."""
    return all(_level_known(way) for way in (lower, upper))


def _level_known(way: DrivenWay) -> bool:
    sheet = way.way
    by_power = sheet.sensitivity_basis == "1 W"
    stated = sheet.axis_response is not None or sheet.sensitivity_db.known
    return bool(stated and way.volts and (sheet.rated_impedance_ohm.known or not by_power))


def balanced(lower: DrivenWay, upper: DrivenWay) -> bool:
    """Whether the level of one against the other is known."""
    ways = (lower, upper)
    return all(way.through_db is not None and way.drive_v and way.volts for way in ways)


def _result(heard: _Heard, also: tuple[str, ...]) -> CrossoverResult:
    lower, upper = heard.pair.lower, heard.pair.upper
    crossover = _crossing(heard)
    at = _at_crossover(heard, crossover)
    low, high = heard.pressures(SHOWN_HZ)
    signs = [way.played.output is not None and way.played.output.inverted for way in (lower, upper)]
    return CrossoverResult(
        subject=heard.pair.placement.name,
        also=also,
        spot="" if heard.spot is None else heard.spot.name,
        lower=lower.way.name,
        upper=upper.way.name,
        kind=kind_of(lower, upper),
        crossover_hz=crossover,
        needed_inverted=needed_inverted(lower, upper),
        is_inverted=signs[0] != signs[1],
        phase_deg=None if at is None else at[0],
        sum_db=None if at is None else at[1],
        worst_dip_db=None if at is None else at[2],
        basis=_basis(lower, upper),
        frequency_hz=_rounded(SHOWN_HZ, 4),
        lower_db=_rounded(level_db(low), 3),
        upper_db=_rounded(level_db(high), 3),
        sum_db_curve=_rounded(level_db(low + high), 3),
        lower_phase_deg=_rounded(np.degrees(np.angle(low)), 2),
        upper_phase_deg=_rounded(np.degrees(np.angle(high)), 2),
        group_delay_ms=_rounded(group_delay_of(heard.total, SHOWN_HZ), 4),
    )


def level_db(pressure: Complex) -> Floats:
    """dB, -200 where nothing sounds."""
    level: Floats = 20 * np.log10(np.maximum(np.abs(pressure), 1e-10))
    return level


def _rounded(values: Floats, digits: int) -> tuple[float, ...]:
    return tuple(np.round(values, digits).tolist())


def _crossing(heard: _Heard) -> float | None:
    """Where both are equally loud and the upper takes over, nearest to where it was meant."""
    low, high = (level_db(one) for one in heard.pressures(SHOWN_HZ))
    ahead = high - low
    sounds = np.maximum(low, high) > np.max(np.maximum(low, high)) - 60
    rises = np.flatnonzero((ahead[:-1] < 0) & (ahead[1:] >= 0) & sounds[:-1])
    if not len(rises):
        return None
    meant = math.log(middle_hz(heard.pair.lower, heard.pair.upper))
    index = min(rises, key=lambda place: abs(math.log(SHOWN_HZ[place]) - meant))
    fine = np.geomspace(SHOWN_HZ[index], SHOWN_HZ[index + 1], 41)
    low, high = (level_db(one) for one in heard.pressures(fine))
    place = int(np.argmax(high >= low))
    if place == 0:
        return float(fine[0])
    before, after = ((high - low)[i] for i in (place - 1, place))
    share = before / (before - after)
    return float(fine[place - 1] * (fine[place] / fine[place - 1]) ** share)


def _at_crossover(heard: _Heard, crossover: float | None) -> tuple[float, float, float] | None:
    """Phase between the two, their sum re the louder there, and the deepest dip around."""
    if crossover is None:
        return None
    low, high = heard.pressures(heard.grid(crossover))
    middle = FINE_PER_OCTAVE
    if not (abs(low[middle]) > 0 and abs(high[middle]) > 0):
        return None  # one of the two ends just there: nothing is known beyond it
    between = float(np.degrees(np.angle(high[middle] / low[middle])))
    louder = np.maximum(np.abs(low), np.abs(high))
    over = np.maximum(level_db(low + high) - level_db(louder), LOWEST_DB)
    return between, float(over[middle]), min(0.0, float(over.min()))


def _basis(lower: DrivenWay, upper: DrivenWay) -> str:
    """What the curves stand on, in words."""
    said = []
    for phase, words in (
        ("stated", "response and phase as stated for {}"),
        ("estimated", "response as stated, phase estimated from it for {}"),
        ("unknown", "{} taken as flat and in phase, as no response on the axis is known"),
    ):
        names = [w.way.name for w in (lower, upper) if _driver(w, SHOWN_HZ[:1])[1] == phase]
        if names:
            said.append(words.format(joined(names)))
    if not levels_known(lower, upper):
        said.append("both taken as equally loud where they meet, as a level is unknown")
    elif not balanced(lower, upper):
        said.append("each way at its own full drive, as their levels as set are unknown")
    kinds = {basis_of(way.played.abilities.sampling_hz.value) for way in (lower, upper)}
    return "; ".join([*said, *sorted(kinds)])
