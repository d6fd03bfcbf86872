"""What people fill in on site."""

from rigs.tuning.forms.calibration import CalibrationForm
from rigs.tuning.forms.fit import CarryForm, FitForm, TakeForm
from rigs.tuning.forms.recording import RecordingForm
from rigs.tuning.forms.ringing import (
    EntryForm,
    NotchForm,
    PlanForm,
    RingOutForm,
    heard_notch,
    usual_notch,
)
from rigs.tuning.forms.target import TargetForm

__all__ = [
    "CalibrationForm",
    "CarryForm",
    "EntryForm",
    "FitForm",
    "NotchForm",
    "PlanForm",
    "RecordingForm",
    "RingOutForm",
    "TakeForm",
    "TargetForm",
    "heard_notch",
    "usual_notch",
]
