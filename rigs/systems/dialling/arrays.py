"""What the page of a sub array shows."""

from typing import Any

from rigs.systems.describe import SystemDescription
from rigs.systems.describe.dialling.arrays import ArrayPlan, Asked, planned, to_take
from rigs.systems.describe.dialling.words import delay_words, distance_words, level, number
from rigs.systems.pictures.arrays import around_picture, array_plan_picture

NARROW = 340.0
WORST_FIRST = ("fails", "cannot check", "tight", "holds")


def shown_array(system: SystemDescription, asked: Asked) -> dict[str, Any]:
    """Plan, maps, figures, limits, and what taking it would change."""
    try:
        plan = planned(system, asked)
    except ValueError as fault:
        said = str(fault)
        return {"fault": f"{said[:1].upper()}{said[1:]}."}
    warmth = system.surroundings.temperature_c
    taking = to_take(system, plan)
    return {
        "plan": plan,
        "decides": _decides(plan),
        "limits": sorted(
            (
                {
                    "name": limit.name,
                    "figure": f"{number(limit.hz)} Hz",
                    "spacing": distance_words(limit.spacing_m),
                    "state": limit.state,
                    "sentence": limit.sentence,
                }
                for limit in plan.limits
            ),
            key=lambda limit: WORST_FIRST.index(limit["state"]),
        ),
        "pictures": [(array_plan_picture(plan), array_plan_picture(plan, NARROW))],
        "around": [
            {"svg": around_picture(plan, polar), "hz": f"{number(polar.band_hz)} Hz"}
            for polar in plan.polars
        ],
        "bands": [_band(band) for band in plan.bands],
        "no_stage": all(band.stage_db is None for band in plan.bands),
        "rows": [
            {
                "name": change.name,
                "was": delay_words(change.was_ms, warmth),
                "now": delay_words(change.delay_ms, warmth),
                "polarity": "inverted" if change.inverted else "normal",
            }
            for change in taking.changes
        ],
        "obstacles": taking.obstacles,
        "taking": taking,
    }


SHOWN_DB = 0.05
"""Less shows as 0 at one digit."""


def _decides(plan: ArrayPlan) -> str:
    """How loud it is behind in the band next to the design frequency."""
    at = min(plan.bands, key=lambda band: abs(band.band_hz / plan.design_hz - 1))
    if abs(at.behind_db) < SHOWN_DB:
        return f"As loud behind as ahead at {number(at.band_hz)} Hz"
    way = "behind" if at.behind_db <= 0 else "behind, louder than ahead"
    return f"{at.behind_db:+.1f} dB {way} at {number(at.band_hz)} Hz"


def _band(band: Any) -> dict[str, str]:
    return {
        "hz": f"{number(band.band_hz)} Hz",
        "loss": level(band.forward_loss_db),
        "behind": f"{band.behind_db:+.1f} dB",
        "stage": "unknown" if band.stage_db is None else f"{band.stage_db:+.1f} dB",
        "opening": "all round" if band.opening_deg is None else f"{band.opening_deg:.0f}°",
    }


def reason_for(asked: Asked) -> str:
    """Why the next revision is made, as far as it is known."""
    return f"{len(asked.boxes)} subs as {asked.kind} array for {number(asked.design_hz)} Hz"
