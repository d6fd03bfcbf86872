"""Input of people into the parts of a rig."""

from rigs.systems.forms.line import LineForm
from rigs.systems.forms.parts import (
    AmplifierPlaceForm,
    PlacementForm,
    ProcessorPlaceForm,
    SeveralForm,
)

__all__ = [
    "AmplifierPlaceForm",
    "LineForm",
    "PlacementForm",
    "ProcessorPlaceForm",
    "SeveralForm",
]
