"""What people fill in on site."""

from rigs.tuning.forms.calibration import CalibrationForm
from rigs.tuning.forms.recording import RecordingForm

__all__ = ["CalibrationForm", "RecordingForm"]
