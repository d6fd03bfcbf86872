"""Is an area evenly heard, is it too loud for ears, and loud enough for the event?"""

from calc.acoustics.exposure import action_minutes, who_minutes
from calc.acoustics.sources import Field
from calc.constants import AUDIENCE_LIMIT_DBA, CREW_ACTION_DBA
from calc.prediction import AreaResult, Finding, RigLevels, State
from calc.words import duration, joined, level, number

WISHED_SHARE, LEAST_SHARE = 0.9, 0.7
SPARE_DB = 3.0
"""dB above the wished level that let limiters rest. Common practice, no source."""

COVERAGE_SOURCE = "common practice, no source (within 3 dB of the mean, 500 Hz to 4 kHz)"
EXPOSURE_SOURCE = "WHO 2022: 100 dB LAeq,15min; 2003/10/EC: crew 85 dB LEX,8h"


def coverage_finding(name: str, area: AreaResult | None, field: Field) -> Finding:
    """Share of the area within 3 dB of its mean level in the mids."""
    state, sentence = _coverage_state(area, field)
    working: tuple[str, ...] = ()
    if area is not None:
        working = (
            f"Direct sound, 500 Hz to 4 kHz: mean {level(area.mean_mid_db)}, "
            f"{level(area.spread_mid_db)} from quietest to loudest.",
            f"{number(100 * area.share_within_3_db)} % of the points lie within 3 dB of the mean.",
            "Directivity as entered, ISO 9613-1 air loss; in phase within groups, else by energy.",
        )
    value = None if area is None or state == "cannot check" else 100 * area.share_within_3_db
    return Finding(
        subject=name,
        check="coverage",
        title="Evenness",
        state=state,
        value=value,
        limit=100 * WISHED_SHARE,
        unit="%",
        limit_source=COVERAGE_SOURCE,
        sentence=f"Area {name}: {sentence}",
        working=working,
        remedy="Another aim, another place, more boxes, or an area that is covered from nearer by.",
    )


def exposure_finding(name: str, area: AreaResult | None, field: Field) -> Finding:
    """Loudest place at full drive against the audience's and the crew's limits."""
    state, sentence = _exposure_state(area, field)
    working: tuple[str, ...] = ()
    if area is not None:
        working = (
            "Every line driven to its rated noise voltage with pink noise, or to what its "
            "amplifier gives if that is less; A-weighted, 25 Hz to 20 kHz.",
            f"Loudest {level(area.loudest_a_db, 'dB(A)')} at x {area.loudest_at_m[0]:.1f} m, "
            f"y {area.loudest_at_m[1]:.1f} m; mean {level(area.mean_a_db, 'dB(A)')}.",
            "Equal energy: 3 dB more halves the time.",
        )
    return Finding(
        subject=name,
        check="exposure",
        title="Loudest place at full drive",
        state=state,
        value=None if area is None else area.loudest_a_db,
        limit=AUDIENCE_LIMIT_DBA,
        unit="dB(A)",
        limit_source=EXPOSURE_SOURCE,
        sentence=f"Area {name}: {sentence}",
        working=working,
        remedy="Run the show more quietly, or keep people away from the loudest place.",
        assumed=("Pink noise stands for the programme; the room is left out.",),
    )


def target_finding(levels: RigLevels, wanted: float | None) -> Finding:
    """Can the rig reach the wished level over the audience, with its balance as set?"""
    best = levels.most_dba if levels.balanced_most_dba is None else levels.balanced_most_dba
    state, sentence = _target_state(levels, wanted)
    return Finding(
        subject="the audience",
        check="target",
        title="Wished level",
        state=state,
        value=best,
        limit=wanted,
        unit="dB(A)",
        limit_source="the event",
        sentence=sentence,
        working=levels.sentences,
        assumed=("Pink noise stands for the programme; the room is left out.", *levels.unknown),
        remedy="" if state == "holds" else "Fewer decibels wished, or more or nearer boxes.",
    )


def _target_state(levels: RigLevels, wanted: float | None) -> tuple[State, str]:
    if wanted is None:
        return "cannot check", "No level is wished for. Ask for it and enter it with the show."
    if levels.headroom_db is None:
        return "cannot check", "What the rig can reach is unknown. Complete its lines."
    if levels.headroom_db < 0:
        return (
            "fails",
            f"The rig falls {level(-levels.headroom_db)} short of the wished "
            f"{level(wanted, 'dB(A)')}. Add boxes or move them nearer rather than push.",
        )
    if levels.balanced_most_dba is None:
        return (
            "cannot check",
            f"{level(levels.headroom_db)} are left above the wished {level(wanted, 'dB(A)')} with "
            "every line at its own limit, but the balance between them is unknown. Enter the "
            "processor's gains.",
        )
    left = f"{level(levels.headroom_db)} are left above the wished {level(wanted, 'dB(A)')}"
    if levels.headroom_db < SPARE_DB:
        return "tight", f"Only {left}: {levels.first_to_limit} limits first."
    return "holds", f"{left[0].upper()}{left[1:]}; {levels.first_to_limit} limits first."


def _coverage_state(area: AreaResult | None, field: Field) -> tuple[State, str]:
    if field.missing_in_mids:
        return (
            "cannot check",
            f"evenness is open, {joined(field.missing_in_mids)} cannot be drawn. "
            "Complete the data sheet or the line.",
        )
    if area is None or not field.plays_mids:
        return "cannot check", "no box in the map plays between 500 Hz and 4 kHz."
    share = number(100 * area.share_within_3_db, 2)
    if area.share_within_3_db >= WISHED_SHARE:
        return "holds", f"{share} % lies within 3 dB of the mean."
    sentence = (
        f"only {share} % lies within 3 dB of the mean, {level(area.spread_mid_db)} between "
        "the loudest and the quietest place. Raise, aim or add boxes rather than push."
    )
    return ("tight" if area.share_within_3_db >= LEAST_SHARE else "fails"), sentence


def _exposure_state(area: AreaResult | None, field: Field) -> tuple[State, str]:
    if area is None:
        return "cannot check", "no level is known here. Measure at the show."
    loudest = area.loudest_a_db
    if loudest > AUDIENCE_LIMIT_DBA:
        more = " or more, as not every box could be drawn" if field.missing else ""
        return (
            "tight",
            f"the rig can reach {level(loudest, 'dB(A)')}{more}: that uses up the audience's 15 "
            "minutes at 100 dB, and a crew member's whole day at 85 dB, in "
            f"{duration(who_minutes(loudest))}. This is an estimate: measure at the "
            "show and keep to the local limit.",
        )
    if field.missing:
        return (
            "cannot check",
            f"{level(loudest, 'dB(A)')} without {joined(field.missing)}, which cannot be drawn. "
            "Measure at the show.",
        )
    sentence = f"{level(loudest, 'dB(A)')} at the most, an estimate."
    if loudest > CREW_ACTION_DBA:
        used = duration(action_minutes(loudest, CREW_ACTION_DBA))
        sentence += f" The crew's day at 85 dB is used up in {used}: hearing protection at hand."
    return "holds", sentence
