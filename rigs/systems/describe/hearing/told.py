"""The sound's figures in words, for tables: what is unknown says so."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.acoustics.coverage import SILENCE_DB
from calc.acoustics.exposure import ESTIMATE, WHOLE_DAY_MIN
from calc.acoustics.seat import SeatResult
from calc.prediction import (
    SEVERITY,
    AreaResult,
    Exposure,
    Finding,
    LineLevel,
    PlaceResult,
    Prediction,
    RigLevels,
    RoomResult,
)
from calc.words import duration, level, number
from rigs.systems.describe.hearing.asking import Carried
from rigs.systems.describe.hearing.shown import Choice
from rigs.systems.pictures.bands import hertz, nominal_hz

UNKNOWN = "unknown"
SOUND_CHECKS = ("target", "coverage", "exposure")


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure, and what it was before a box moved ("" where nothing moved)."""

    now: str
    was: str = ""


@dataclass(frozen=True, slots=True)
class AreaRow:
    """One area's figures."""

    name: str
    kind: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class ExposureRow:
    """What one pair of ears takes over the show."""

    subject: str
    kind: str
    laeq: str
    basis: str
    hours: str
    lex: str
    dose: str
    left: str
    sentence: str


AREA_HEADS = (
    "Mean at most",
    "Mean at present",
    "Mean, mids",
    "Quietest to loudest, mids",
    "Within 3 dB of the mean, mids",
    "Front less back, mids",
    "Worst seat, mids",
)


def decibel(value: float | None, unit: str = "dB") -> str:
    """A level, or that it is unknown."""
    return UNKNOWN if value is None else level(value, unit)


def area_rows(now: Prediction, before: Prediction | None) -> list[AreaRow]:
    """Every area, audience first; beside each figure what it was before a box moved."""
    old = {area.name: area for area in (before.areas if before else ())}
    ordered = sorted(now.areas, key=lambda area: area.kind != "audience")
    return [AreaRow(area.name, area.kind, _cells(area, old.get(area.name))) for area in ordered]


def _cells(area: AreaResult, old: AreaResult | None) -> tuple[Cell, ...]:
    was = _area_words(old) if old else None
    return tuple(
        Cell(words, was[n] if was and was[n] != words else "")
        for n, words in enumerate(_area_words(area))
    )


def _area_words(area: AreaResult) -> tuple[str, ...]:
    return (
        decibel(area.mean_a_db, "dB(A)"),
        decibel(area.mean_present_a_db, "dB(A)"),
        decibel(area.mean_mid_db),
        decibel(area.spread_mid_db),
        f"{100 * area.share_within_3_db:.0f} %",
        decibel(area.front_to_back_db),
        _worst(area),
    )


def _worst(area: AreaResult) -> str:
    if area.worst_at_m is None or area.worst_off_db is None:
        return UNKNOWN
    x, y = area.worst_at_m
    sign = "+" if area.worst_off_db > 0 else ""
    return f"{sign}{level(area.worst_off_db)} at x {x:.1f} m, y {y:.1f} m"


def band_rows(prediction: Prediction, choice: Choice) -> list[tuple[str, str, str, str]]:
    """Area, mean, spread and share of the chosen band; nothing where no band is chosen."""
    if not choice.quantity.replace(".", "").isdigit():
        return []
    wanted = float(choice.quantity)
    rows = []
    for area in prediction.areas:
        nearest = min(range(len(area.bands_hz)), key=lambda n: abs(area.bands_hz[n] / wanted - 1))
        if area.band_mean_db[nearest] <= SILENCE_DB:
            continue  # nothing plays there
        rows.append(
            (
                area.name,
                decibel(area.band_mean_db[nearest]),
                decibel(area.band_spread_db[nearest]),
                f"{100 * area.band_share_within_3[nearest]:.0f} %",
            )
        )
    return rows


def rig_figures(levels: RigLevels | None) -> list[tuple[str, str]]:
    """The whole audience against the wish, the figure that decides first."""
    if levels is None:
        return []
    return [
        ("Left above the wished level", decibel(levels.headroom_db)),
        ("Wished", decibel(levels.target_dba, "dB(A)")),
        ("At present", decibel(levels.present_dba, "dB(A)")),
        ("At most, in the balance as set", decibel(levels.balanced_most_dba, "dB(A)")),
        ("At most, each line at its limit", decibel(levels.most_dba, "dB(A)")),
        ("First to its limit", levels.first_to_limit or UNKNOWN),
    ]


def line_rows(levels: RigLevels | None) -> list[tuple[str, str, str]]:
    """Lines, the first to its limit on top: after the first, and left now."""
    if levels is None:
        return []

    def order(line: LineLevel) -> float:
        return float("inf") if line.after_first_db is None else line.after_first_db

    return [
        (line.line, decibel(line.after_first_db), decibel(line.margin_db))
        for line in sorted(levels.lines, key=order)
    ]


def findings_of_sound(prediction: Prediction) -> list[Finding]:
    """Wish, evenness and loudness, the worst first."""
    found = [finding for finding in prediction.findings if finding.check in SOUND_CHECKS]
    return sorted(found, key=lambda finding: SEVERITY.index(finding.state))


def place_rows(places: Sequence[PlaceResult]) -> list[tuple[str, str, str, str, str]]:
    """Where crew and front row stand."""
    return [
        (
            place.name,
            place.kind,
            decibel(place.level_a_db, "dB(A)"),
            decibel(place.level_z_db),
            decibel(place.present_a_db, "dB(A)"),
        )
        for place in places
    ]


def exposure_rows(exposures: Sequence[Exposure]) -> list[ExposureRow]:
    """Everybody over the show; the estimate's caution stands once, above the table."""
    return [
        ExposureRow(
            subject=one.subject,
            kind=one.kind,
            laeq=decibel(one.laeq_dba, "dB(A)"),
            basis=one.level_basis,
            hours=UNKNOWN if one.hours is None else f"{number(one.hours)} h",
            lex=decibel(one.lex_8h_dba, "dB(A)"),
            dose=UNKNOWN if one.niosh_dose_pct is None else f"{number(one.niosh_dose_pct, 2)} %",
            left=_minutes(one.minutes_left),
            sentence=one.sentence.removesuffix(ESTIMATE).strip(),
        )
        for one in exposures
    ]


def _minutes(minutes: float) -> str:
    return "a whole day" if minutes >= WHOLE_DAY_MIN else duration(minutes)


def octave_rows(room: RoomResult) -> list[tuple[str, str, str, str]]:
    """Decay, its basis and the critical distance per octave."""
    columns = (room.octaves_hz, room.decay_s, room.decay_basis, room.critical_distance_m)
    return [
        (
            hertz(nominal_hz(hz)),
            UNKNOWN if decay is None else f"{number(decay, 2)} s",
            basis or UNKNOWN,
            UNKNOWN if distance is None else f"{number(distance, 2)} m",
        )
        for hz, decay, basis, distance in zip(*columns, strict=True)
    ]


def speech_rows(room: RoomResult) -> list[tuple[str, str, str, str]]:
    """Area, direct to reverberant, speech index mean with its letter, least."""
    return [
        (
            one.area,
            decibel(one.mean_direct_db),
            UNKNOWN if one.mean_index is None else f"{one.mean_index:.2f}, category {one.rating}",
            UNKNOWN if one.least_index is None else f"{one.least_index:.2f}",
        )
        for one in room.speech
    ]


def seat_rows(seat: SeatResult) -> list[tuple[str, str, str, str, str]]:
    """What each box gives to a seat by itself, the loudest first."""
    return [
        (
            f"{one.placement}, {one.way}" if one.way else one.placement,
            one.line,
            decibel(one.level_a_db, "dB(A)"),
            f"{number(one.distance_m)} m",
            f"{one.arrival_ms:.1f} ms",
        )
        for one in seat.contributions
    ]


def throw_sentences(carried: Carried | None) -> list[str]:
    """Where a delay tower or a fill belongs, in words."""
    if carried is None:
        return []
    found, said = carried.throw, []
    if found.fallen_m is None:
        said.append(
            "Straight ahead the main system never falls 6 dB below its level at "
            f"{found.reference_m:g} m: no tower is needed for level."
        )
    else:
        assert found.delay_ms is not None
        said.append(
            f"{found.fallen_m:g} m from the stage's edge the main system has fallen 6 dB below "
            f"its level at {found.reference_m:g} m. A tower there plays {found.delay_ms:.1f} ms "
            "later: the way through the air, the main system's own delay and 10 ms."
        )
    if found.near_m is not None:
        said.append(
            f"Up to {found.near_m:g} m from the stage's edge it is 6 dB or more below that level: "
            "front fills belong there."
        )
    said.append(
        "500 Hz to 4 kHz, along the middle at ear height. Taken for the main system: "
        f"{', '.join(carried.main)}. Tower 5 to 15 ms after the main system: common practice, "
        "no source."
    )
    return said
