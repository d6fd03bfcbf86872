"""Changes to placements, amplifiers, processors and the mixer."""

import math
from collections.abc import Collection, Sequence

from rigs.catalogue.models import Loudspeaker
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import queries
from rigs.systems.actions.base import changing, name_the_programme_rating, remove, save
from rigs.systems.faults import Faults, NotSaved, faults_of, refuse
from rigs.systems.models import (
    AmplifierPlace,
    DriveLine,
    MixerPlace,
    Placement,
    ProcessorPlace,
    RigChoice,
)


def save_placement(placement: Placement, seen: int | None, person: Person | None) -> Placement:
    """Save a placement. A box on a drive line keeps its type: the line knows its ways."""
    with changing(placement):
        refuse(faults_of(placement) | _type_change_faults(placement))
        save(placement, seen, person)
    return placement


def save_amplifier_place(
    place: AmplifierPlace, seen: int | None, person: Person | None
) -> AmplifierPlace:
    """Save an amplifier place; its lines must still find their channels."""
    with changing(place):
        refuse(place_faults(place))
        save(place, seen, person)
    return place


def place_faults(
    place: AmplifierPlace, changing: DriveLine | None = None, only: Collection[str] = ()
) -> Faults:
    """Why an amplifier place could not be saved; `changing` is saved with it. Reads only."""
    faults = faults_of(place, only)
    if faults or place.pk is None:
        return faults
    have = place.amplifier.channels
    for line in place.lines.all():
        if changing is not None and line.pk == changing.pk:
            continue
        last = line.first_channel + line.width - 1
        if last > have:
            return {"amplifier": [f"{line} uses channel {last}; {place.amplifier} has {have}."]}
    return {}


def save_processor_place(
    place: ProcessorPlace, seen: int | None, person: Person | None
) -> ProcessorPlace:
    """Save a processor place; its lines must still find their outputs."""
    with changing(place):
        refuse(faults_of(place))
        for line in place.lines.all() if place.pk else ():
            have = place.processor.outputs
            if line.output and line.output > have:
                sentence = f"{line} uses output {line.output}; {place.processor} has {have}."
                raise NotSaved({"processor": [sentence]})
        save(place, seen, person)
    return place


def save_mixer_place(place: MixerPlace, seen: int | None, person: Person | None) -> MixerPlace:
    """Save the event's mixer."""
    with changing(place):
        refuse(faults_of(place))
        save(place, seen, person)
    return place


def save_choices(choices: RigChoice, seen: int | None, person: Person | None) -> RigChoice:
    """Save the choices of an event."""
    with changing(choices):
        name_the_programme_rating(choices, person)
        refuse(faults_of(choices))
        save(choices, seen, person)
    return choices


def place_several(placements: Sequence[Placement], person: Person | None) -> list[Placement]:
    """Add several new placements of one event, or none."""
    if not placements:
        return []
    with changing(placements[0]):
        for placement in placements:
            refuse(_named(placement.name, faults_of(placement)))
            save(placement, None, person)
    return list(placements)


def place_row(
    event: Event,
    person: Person | None,
    *,
    loudspeaker: Loudspeaker,
    count: int,
    stem: str,
    first_number: int,
    x_m: float,
    y_m: float,
    z_m: float,
    spacing_m: float,
    direction_deg: float,
    azimuth_deg: float,
    tilt_deg: float,
) -> list[Placement]:
    """Place `count` boxes in a straight row: "Sub 1" at (x, y), the next `spacing_m` further.

    `direction_deg` is where the row runs, clockwise from the y axis as azimuths are.
    """
    turn = math.radians(direction_deg)
    return place_several(
        [
            Placement(
                event=event,
                name=f"{stem} {first_number + step}",
                loudspeaker=loudspeaker,
                x_m=round(x_m + step * spacing_m * math.sin(turn), 3),
                y_m=round(y_m + step * spacing_m * math.cos(turn), 3),
                z_m=z_m,
                azimuth_deg=azimuth_deg,
                tilt_deg=tilt_deg,
            )
            for step in range(count)
        ],
        person,
    )


def remove_placement(placement: Placement, seen: int) -> None:
    """Take a box out of the rig, unless a line drives it."""
    remove(placement, seen, queries.lines_with_box)


def remove_amplifier_place(place: AmplifierPlace, seen: int) -> None:
    """Take an amplifier out of the rig, unless a line uses it."""
    remove(place, seen, lambda row: [line.name for line in row.lines.all()])


def remove_processor_place(place: ProcessorPlace, seen: int) -> None:
    """Take a processor out of the rig, unless a line uses it."""
    remove(place, seen, lambda row: [line.name for line in row.lines.all()])


def remove_mixer_place(place: MixerPlace, seen: int) -> None:
    """Take the mixer out of the rig."""
    remove(place, seen)


def _type_change_faults(placement: Placement) -> Faults:
    if placement.pk is None:
        return {}
    stored = Placement.objects.filter(pk=placement.pk).select_related("loudspeaker").first()
    if stored is None or stored.loudspeaker_id == placement.loudspeaker_id:
        return {}
    lines = queries.lines_with_box(stored)
    if not lines:
        return {}
    return {
        "loudspeaker": [
            f"Drive line {', '.join(lines)} drives {stored} as a {stored.loudspeaker}. "
            "Take it off the line first, then change the type."
        ]
    }


def _named(name: str, faults: Faults) -> Faults:
    return {
        field: [f"{name}: {sentence}" for sentence in sentences]
        for field, sentences in faults.items()
    }
