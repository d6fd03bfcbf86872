"""What a map can show, and its values over the areas."""

from dataclasses import dataclass, field

import numpy as np

from calc.acoustics.coverage import SILENCE_DB
from calc.acoustics.maps import AreaMaps, Drive, Rows, area_maps
from calc.prediction import AreaResult, Prediction
from calc.system import AudienceArea, SystemDescription
from rigs.systems.pictures.bands import THIRDS_HZ, hertz
from rigs.systems.pictures.maps import AreaValues, Scale

A, Z, MIDS, SPEECH = "a", "z", "mids", "speech"
FULL: Drive = "full"
MIDS_HZ = (400, 5000)
"""The bands between these two make up the mids."""

QUANTITIES: list[tuple[str, str]] = [
    (A, "broadband, dB(A)"),
    (Z, "broadband, unweighted dB"),
    (MIDS, "500 Hz to 4 kHz"),
    (SPEECH, "speech index"),
    *((f"{hz:g}", f"{hertz(hz)} band") for hz in THIRDS_HZ),
]
DRIVES: list[tuple[Drive, str]] = [
    (FULL, "at most: each line at its limit"),
    ("balanced", "at most, in the balance as set"),
    ("present", "at present"),
]
SCALES = {
    A: Scale("Level", "A-weighted, 25 Hz to 20 kHz", "dB(A)"),
    Z: Scale("Level", "unweighted, 25 Hz to 20 kHz"),
    MIDS: Scale("Level", "500 Hz to 4 kHz"),
    SPEECH: Scale(
        "Speech index", "speech transmission index by IEC 60268-16, an estimate", "", 0.05, 2
    ),
}


@dataclass(frozen=True, slots=True)
class Choice:
    """What somebody wants to see: a quantity of `QUANTITIES` at a drive of `DRIVES`."""

    quantity: str = A
    drive: Drive = FULL

    @property
    def scale(self) -> Scale:
        """How the values are written."""
        if self.quantity in SCALES:
            return SCALES[self.quantity]
        return Scale("Level", f"1/3-octave band of {hertz(float(self.quantity))}")

    @property
    def band(self) -> str:
        """The quantity without the drive."""
        return dict(QUANTITIES)[self.quantity]

    @property
    def words(self) -> str:
        """The choice in a heading."""
        if self.quantity == SPEECH:
            return "Speech index"
        return f"{self.band}, {dict(DRIVES)[self.drive]}"


@dataclass(frozen=True, slots=True)
class Shown:
    """Values over the areas, and in sentences why they are not those that were asked for."""

    choice: Choice
    values: tuple[AreaValues, ...] = ()
    instead: tuple[str, ...] = field(default=())


def values_of(system: SystemDescription, prediction: Prediction, choice: Choice) -> Shown:
    """The map that was asked for, else the one of `choice` at most, and why."""
    if choice.quantity == SPEECH:
        return _speech(system, prediction, choice)
    reasons = _why_not(prediction, choice)
    if reasons:
        at_most = values_of(system, prediction, Choice(choice.quantity, FULL))
        return Shown(at_most.choice, at_most.values, reasons)
    areas = {area.name: area for area in system.areas}
    values = tuple(
        AreaValues(areas[result.name], result.x_m, result.y_m, _rows(system, result, choice))
        for result in prediction.areas
    )
    if values and not any(level > SILENCE_DB for one in values for level in one.known):
        return Shown(choice, instead=(f"Nothing of this rig plays in the {choice.band}.",))
    return Shown(choice, values)


def _why_not(prediction: Prediction, choice: Choice) -> tuple[str, ...]:
    levels = prediction.levels
    if choice.drive == FULL or levels is None:
        return ()
    known = levels.balanced_most_dba if choice.drive == "balanced" else levels.present_dba
    if known is not None:
        return ()
    # What is unknown comes in this order: gains, the programme, the wish. The wish is no reason.
    reasons = levels.unknown[:-1] if levels.target_dba is None else levels.unknown
    return (*reasons, "Shown instead: each line at its limit.")


def _rows(system: SystemDescription, result: AreaResult, choice: Choice) -> Rows:
    if choice.drive == FULL and choice.quantity in (A, Z, MIDS):
        kept = {A: result.level_a_db, Z: result.level_z_db, MIDS: result.level_mid_db}
        return kept[choice.quantity]
    maps = area_maps(system, result.name, choice.drive)
    if choice.quantity == A:
        return maps.level_a_db
    if choice.quantity == Z:
        return maps.level_z_db
    return _mids(maps) if choice.quantity == MIDS else maps.of(float(choice.quantity))


def _mids(maps: AreaMaps) -> Rows:
    """The energy of the bands from 500 Hz to 4 kHz."""
    low, high = MIDS_HZ
    chosen = [
        rows
        for hz, rows in zip(maps.bands_hz, maps.level_db, strict=True)
        if low * 1.05 < hz < high * 0.95
    ]
    levels = np.array(chosen, dtype=float)
    total = 10 * np.log10((10 ** (levels / 10)).sum(axis=0))
    return tuple(tuple(None if np.isnan(v) else float(v) for v in row) for row in total)


def _speech(system: SystemDescription, prediction: Prediction, choice: Choice) -> Shown:
    areas = {area.name: area for area in system.areas}
    results = {result.name: result for result in prediction.areas}
    room = prediction.room
    values = tuple(
        _index(areas[one.area], results[one.area], one.index)
        for one in (room.speech if room else ())
        if one.index and one.area in results
    )
    if values:
        return Shown(choice, values)
    reasons = room.unknown if room else ("Outdoors there is no room: no speech index is told.",)
    instead = values_of(system, prediction, Choice())
    return Shown(instead.choice, instead.values, (*reasons, "Shown instead: dB(A) at most."))


def _index(area: AudienceArea, result: AreaResult, index: Rows) -> AreaValues:
    return AreaValues(area, result.x_m, result.y_m, index)
