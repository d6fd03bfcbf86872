"""Data sheets: what a type of thing is. What the company owns of it is in `stock`.

Every number may be unknown (null). What a number stands on is kept in `basis`, by field name;
a field that is not named there stands on the data sheet.
"""

from rigs.catalogue.models.amplifiers import Amplifier, AmplifierMode, Mode, Rating
from rigs.catalogue.models.items import Connector, End, Item, Kind, Tracking
from rigs.catalogue.models.loudspeakers import Loudspeaker, Way
from rigs.catalogue.models.others import Accessory, Cable, Mixer
from rigs.catalogue.models.processors import (
    FilterKind,
    PassFamily,
    Processor,
    ProcessorDial,
    ProcessorSlope,
)
from rigs.catalogue.models.sheets import (
    ASSUMED,
    BASES,
    DATA_SHEET,
    MEASURED,
    Sheet,
    positive,
    quantity,
)

__all__ = [
    "ASSUMED",
    "BASES",
    "DATA_SHEET",
    "MEASURED",
    "Accessory",
    "Amplifier",
    "AmplifierMode",
    "Cable",
    "Connector",
    "End",
    "FilterKind",
    "Item",
    "Kind",
    "Loudspeaker",
    "Mixer",
    "Mode",
    "PassFamily",
    "Processor",
    "ProcessorDial",
    "ProcessorSlope",
    "Rating",
    "Sheet",
    "Tracking",
    "Way",
    "positive",
    "quantity",
]
