"""Changes on site: recordings and calibrations that come and go."""

from rigs.tuning.actions.analyses import ask_analysis
from rigs.tuning.actions.calibrations import remove_calibration, save_calibration
from rigs.tuning.actions.equalisations import ask_fit, carry, take
from rigs.tuning.actions.notch_plans import ask_notch_plan, place_plan
from rigs.tuning.actions.recordings import keep_recording, remove_recording
from rigs.tuning.actions.targets import remove_target, save_target

__all__ = [
    "ask_analysis",
    "ask_fit",
    "ask_notch_plan",
    "carry",
    "keep_recording",
    "place_plan",
    "remove_calibration",
    "remove_recording",
    "remove_target",
    "save_calibration",
    "save_target",
    "take",
]
