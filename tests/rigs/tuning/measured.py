"""A spot at which a sweep was recorded and analysed."""

from rigs.tuning.signals import played
from rigs.tuning.tasks import analyse
from tests.rigs.tuning.rooms import heard, room
from tests.rigs.tuning.sounds import wav
from tests.rigs.tuning.test_recordings import kept

SWEEP = "sweep-5"


def measured(site, spot, seed=1, lines=()):
    """The same room at every spot; `seed` is only that of the microphone's own noise."""
    sound = wav(heard(SWEEP, room(0.5), seed=seed), bits=24)
    row = kept(site, sound, lines, spot=spot, played=played(SWEEP))
    analyse(row.analyses.get().pk)
    return row
