"""Changes to stage microphones."""

from collections.abc import Sequence

from rigs.people.models import Person
from rigs.systems.actions.base import changing, remove, save
from rigs.systems.faults import faults_of, refuse
from rigs.systems.models import DriveLine, StageMicrophone


def save_microphone(
    microphone: StageMicrophone,
    kept_out: Sequence[DriveLine],
    seen: int | None,
    person: Person | None,
) -> StageMicrophone:
    """Save a stage microphone and the drive lines that it does not go to."""
    with changing(microphone):
        refuse(faults_of(microphone))
        save(microphone, seen, person)
        microphone.not_played_by.set(kept_out)
    return microphone


def remove_microphone(microphone: StageMicrophone, seen: int) -> None:
    """Take a microphone off the stage; its notches stay, with nobody's name."""
    remove(microphone, seen)
