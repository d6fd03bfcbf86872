"""What somebody hears of a rig: maps, seats, ears over the show, boxes tried elsewhere."""

from calc.acoustics.exposure import ESTIMATE
from calc.prediction import Prediction
from calc.safety import HEARING
from rigs.systems.describe.hearing.asking import (
    Aim,
    Asked,
    Carried,
    Seat,
    aim_of,
    carried,
    seat_at,
    sound_of,
    with_box_at,
)
from rigs.systems.describe.hearing.shown import (
    DRIVES,
    QUANTITIES,
    Choice,
    Shown,
    values_of,
)

__all__ = [
    "DRIVES",
    "ESTIMATE",
    "HEARING",
    "QUANTITIES",
    "Aim",
    "Asked",
    "Carried",
    "Choice",
    "Prediction",
    "Seat",
    "Shown",
    "aim_of",
    "carried",
    "seat_at",
    "sound_of",
    "values_of",
    "with_box_at",
]
