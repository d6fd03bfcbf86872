"""Input of people into the parts of a rig."""

from rigs.systems.forms.aim import AimForm
from rigs.systems.forms.alignment import AlignmentForm, MeasuredForm, SpotForm
from rigs.systems.forms.coverage import CoverageForm
from rigs.systems.forms.line import LineForm
from rigs.systems.forms.mains import FeedForm, LoadForm, SupportForm
from rigs.systems.forms.output import OutputForm
from rigs.systems.forms.override import OverrideForm
from rigs.systems.forms.parts import (
    AmplifierPlaceForm,
    ChoicesForm,
    MixerPlaceForm,
    PlacementForm,
    ProcessorPlaceForm,
    SeveralForm,
)
from rigs.systems.forms.stage import MicrophoneForm
from rigs.systems.forms.sub_array import SubArrayForm
from rigs.systems.forms.what_if import WhatIfForm

__all__ = [
    "AimForm",
    "AlignmentForm",
    "AmplifierPlaceForm",
    "ChoicesForm",
    "CoverageForm",
    "FeedForm",
    "LineForm",
    "LoadForm",
    "MeasuredForm",
    "MicrophoneForm",
    "MixerPlaceForm",
    "OutputForm",
    "OverrideForm",
    "PlacementForm",
    "ProcessorPlaceForm",
    "SeveralForm",
    "SpotForm",
    "SubArrayForm",
    "SupportForm",
    "WhatIfForm",
]
