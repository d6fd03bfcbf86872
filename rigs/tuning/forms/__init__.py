"""What people fill in on site."""

from rigs.tuning.forms.calibration import CalibrationForm
from rigs.tuning.forms.recording import RecordingForm
from rigs.tuning.forms.target import TargetForm

__all__ = ["CalibrationForm", "RecordingForm", "TargetForm"]
