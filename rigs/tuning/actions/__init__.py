"""Changes on site: recordings and calibrations that come and go."""

from rigs.tuning.actions.calibrations import remove_calibration, save_calibration
from rigs.tuning.actions.recordings import keep_recording, remove_recording

__all__ = ["keep_recording", "remove_calibration", "remove_recording", "save_calibration"]
