"""How long ears can stay: WHO 2022, 2003/10/EC and NIOSH.

All of it is an estimate from the predicted direct sound, never a measurement. Equal energy: 3 dB
more halve the time.
"""

import math

from calc.constants import AUDIENCE_LIMIT_DBA, CREW_ACTION_DBA
from calc.prediction import AreaResult, Exposure, PlaceResult, RigLevels
from calc.system import SystemDescription
from calc.words import duration, level, number

DAY_H = 8.0
LOWER_ACTION_DBA, UPPER_ACTION_DBA, LIMIT_DBA = 80.0, CREW_ACTION_DBA, 87.0
"""dB LEX,8h, directive 2003/10/EC article 3, READ. Hearing protection counts for the limit only."""

NIOSH_DBA, NIOSH_EXCHANGE_DB = 85.0, 3.0
"""NIOSH recommended limit: 85 dB(A) for 8 h, 3 dB exchange, READ."""

WHO_MINUTES = 15.0
WHOLE_DAY_MIN = 1440.0
ESTIMATE = (
    "Estimated from the predicted direct sound; a certified meter at the show decides, and the "
    "local limit comes first."
)


def lex_8h(level_dba: float, hours: float) -> float:
    """Daily exposure level: LAeq + 10 lg(T / 8 h), 2003/10/EC."""
    return level_dba + 10 * math.log10(hours / DAY_H)


def niosh_minutes(level_dba: float) -> float:
    """Minutes until the NIOSH dose is 100 %: 480 / 2^((L - 85) / 3)."""
    return float(60 * DAY_H / 2 ** ((level_dba - NIOSH_DBA) / NIOSH_EXCHANGE_DB))


def niosh_dose_pct(level_dba: float, hours: float) -> float:
    """NIOSH dose in per cent of a day's allowance."""
    return 100 * 60 * hours / niosh_minutes(level_dba)


def action_minutes(level_dba: float, allowed_dba: float) -> float:
    """Minutes at a level until a daily exposure level is reached (equal energy)."""
    return float(60 * DAY_H / 10 ** ((level_dba - allowed_dba) / 10))


def who_minutes(level_dba: float) -> float:
    """Minutes at a level whose energy uses up 15 minutes at 100 dB."""
    return float(WHO_MINUTES / 10 ** ((level_dba - AUDIENCE_LIMIT_DBA) / 10))


def exposures(
    system: SystemDescription,
    areas: tuple[AreaResult, ...],
    places: tuple[PlaceResult, ...],
    levels: RigLevels | None,
) -> tuple[Exposure, ...]:
    """Audience areas (mean and loudest), front row and crew over the show."""
    shift, basis = _running_level(levels)
    show_hours = None if system.show is None else system.show.hours.value
    hours_of = {place.name: place.hours.value for place in system.places}
    found = []
    for area in areas:
        if area.kind != "audience":
            continue
        mean = area.mean_present_a_db if basis == "programme" else area.mean_a_db + shift
        loud = area.loudest_a_db + shift
        if basis == "programme":
            loud = max(v for row in area.present_a_db for v in row if v is not None)
        assert mean is not None
        found.append(_exposure(area.name, "audience", mean, show_hours, basis))
        found.append(_exposure(f"{area.name}, loudest", "audience", loud, show_hours, basis))
    for place in places:
        known = place.present_a_db if basis == "programme" else place.level_a_db + shift
        assert known is not None
        hours = hours_of[place.name] or show_hours
        found.append(_exposure(place.name, place.kind, known, hours, basis))
    return tuple(found)


def _running_level(levels: RigLevels | None) -> tuple[float, str]:
    """How far below full drive the show runs, in dB, and what that stands on."""
    if levels is not None and levels.present_dba is not None:
        return 0.0, "programme"
    if levels is not None and levels.target_dba is not None and levels.most_dba is not None:
        return min(0.0, levels.target_dba - levels.most_dba), "wished level"
    return 0.0, "full drive"


def _exposure(subject: str, kind: str, laeq: float, hours: float | None, basis: str) -> Exposure:
    lex = None if hours is None else lex_8h(laeq, hours)
    dose = None if hours is None else niosh_dose_pct(laeq, hours)
    audience = kind != "crew"
    minutes = who_minutes(laeq) if audience else action_minutes(laeq, UPPER_ACTION_DBA)
    minutes = min(WHOLE_DAY_MIN, minutes)
    return Exposure(
        subject=subject,
        kind=kind,
        laeq_dba=laeq,
        level_basis=basis,
        hours=hours,
        lex_8h_dba=lex,
        niosh_dose_pct=dose,
        niosh_minutes=min(WHOLE_DAY_MIN, niosh_minutes(laeq)),
        minutes_left=minutes,
        who_exceeded=laeq > AUDIENCE_LIMIT_DBA if audience else None,
        eu_value=_eu_value(lex) if not audience else "",
        sentence=_sentence(subject, audience, laeq, lex, minutes, hours, basis),
    )


def _eu_value(lex: float | None) -> str:
    """The highest value of 2003/10/EC that is passed."""
    if lex is None:
        return "cannot check"
    values = (
        (LIMIT_DBA, "limit"), (UPPER_ACTION_DBA, "upper action"), (LOWER_ACTION_DBA, "lower action")
    )  # fmt: skip
    return next((name for value, name in values if lex >= value), "below all")


def _sentence(
    subject: str,
    audience: bool,
    laeq: float,
    lex: float | None,
    minutes: float,
    hours: float | None,
    basis: str,
) -> str:
    at = {"programme": "as it runs now", "wished level": "at the wished level"}.get(basis, basis)
    start = f"{subject}: {level(laeq, 'dB(A)')} {at}."
    if audience:
        if laeq > AUDIENCE_LIMIT_DBA:
            return (
                f"{start} That is above 100 dB(A) over 15 minutes; their energy is used up in "
                f"{duration(minutes)}. {ESTIMATE}"
            )
        return f"{start} Below 100 dB(A) over 15 minutes. {ESTIMATE}"
    if hours is None or lex is None:
        return (
            f"{start} Nobody said how long somebody stays: the day's 85 dB(A) are used up in "
            f"{duration(minutes)}. {ESTIMATE}"
        )
    spent = f"Over {number(hours)} h that is {level(lex, 'dB(A)')} for the day"
    if lex >= UPPER_ACTION_DBA:
        return (
            f"{start} {spent}, from 85 on hearing protection must be worn; without it 85 is "
            f"reached after {duration(minutes)}. {ESTIMATE}"
        )
    if lex >= LOWER_ACTION_DBA:
        return f"{start} {spent}: hearing protection must be at hand. {ESTIMATE}"
    return f"{start} {spent}. {ESTIMATE}"
