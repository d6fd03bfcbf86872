"""The coverage page's content from a rig and what its form asks. Stores nothing."""

from dataclasses import dataclass
from typing import Any

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.describe import SystemDescription, freeze
from rigs.systems.describe import hearing as ears
from rigs.systems.describe.hearing import told
from rigs.systems.models import Placement
from rigs.systems.pictures import spectrum_picture
from rigs.systems.pictures.maps import Marks, Picture, side_picture, value_maps

LOUDEST = 6
"""So many boxes of a seat are told at once, the others when asked."""


@dataclass(frozen=True, slots=True)
class Tried:
    """A box elsewhere than it stands."""

    box: Placement
    aim: ears.Aim


def listen(
    event: Event,
    choice: ears.Choice,
    tried: Tried | None = None,
    seat: tuple[float, float] | None = None,
    seat_in: str = "",
) -> dict[str, Any]:
    """Maps, figures and the seat of a rig that `queries.rig` has read."""
    stored = freeze(event)
    system, before = stored, None
    if tried is not None and tried.aim != ears.aim_of(stored, tried.box.name):
        system = ears.with_box_at(stored, tried.box.name, tried.aim)
        before = ears.sound_of(stored).prediction
    asked = ears.sound_of(system)
    if asked.prediction is None:
        return {"fault": asked.fault, "maps": []}
    moved = tried.box.name if tried is not None and system is not stored else ""
    heard = ears.seat_at(system, *seat, seat_in) if seat else None
    carried = ears.carried(system)
    shown = ears.values_of(system, asked.prediction, choice)
    marks = Marks(
        places=system.places,
        seat=seat,
        moved=tried.box.name if tried is not None else "",
        fallen=carried.throw.tower_at_m if carried else None,
        fallen_over=carried.area if carried else "",
    )
    maps = value_maps(system.placements, shown.values, shown.choice.scale, marks, "map")
    return {
        "fault": "",
        "maps": maps,
        "side": side_picture(system, marks.moved) if maps else None,
        "heading": shown.choice.words,
        "instead": shown.instead,
        "moved": moved,
        "seat": _seat(heard, seat) if heard and seat else None,
    } | _figures(system, asked.prediction, before, choice, carried)


def _figures(
    system: SystemDescription,
    prediction: ears.Prediction,
    before: ears.Prediction | None,
    choice: ears.Choice,
    carried: ears.Carried | None,
) -> dict[str, Any]:
    levels, room = prediction.levels, prediction.room
    return {
        "areas": told.area_rows(prediction, before),
        "area_heads": told.AREA_HEADS,
        "band": told.band_rows(prediction, choice),
        "rig_figures": told.rig_figures(levels),
        "sentences": levels.sentences if levels else (),
        "unknown": levels.unknown if levels else (),
        "lines": told.line_rows(levels),
        "findings": told.findings_of_sound(prediction),
        "places": told.place_rows(prediction.places),
        "exposures": told.exposure_rows(prediction.exposures),
        "estimate": ears.ESTIMATE,
        "hearing": ears.HEARING,
        "room": room,
        "octaves": told.octave_rows(room) if room else [],
        "speech": told.speech_rows(room) if room else [],
        "throw": told.throw_sentences(carried),
        "unchecked": prediction.unchecked,
    }


def _seat(heard: ears.Seat, at: tuple[float, float]) -> dict[str, Any]:
    where = f"x {at[0] + 0.0:g} m, y {at[1] + 0.0:g} m"  # + 0.0: never -0
    result = heard.result
    if result is None:
        return {"where": where, "fault": heard.fault}
    rows = told.seat_rows(result)
    return {
        "where": where,
        "area": heard.area,
        "ears": f"{result.at_m[2]:.1f} m",
        "level_a": told.decibel(result.level_a_db, "dB(A)"),
        "level_z": told.decibel(result.level_z_db),
        "picture": spectrum_picture(
            result.bands_hz, result.spectrum_db, f"Spectrum of the seat at {where}"
        ),
        "loudest": rows[:LOUDEST],
        "rest": rows[LOUDEST:],
    }


def keep(tried: Tried, seen: int, person: Person) -> Placement:
    """Store where a box was tried, by the same action as any other change."""
    box = tried.box
    box.x_m, box.y_m, box.z_m = tried.aim.x_m, tried.aim.y_m, tried.aim.z_m
    box.azimuth_deg, box.tilt_deg = tried.aim.azimuth_deg, tried.aim.tilt_deg
    return actions.save_placement(box, seen, person)


def where_on_page(picture: Picture) -> dict[str, Any]:
    """What the page's script needs to say where somebody tapped."""
    x, y = picture.plan.origin
    return {
        "picture": picture,
        "origin_x": f"{x:.3f}",
        "origin_y": f"{y:.3f}",
        "scale": f"{picture.plan.scale:.6f}",
        "area": picture.areas[0],
    }
