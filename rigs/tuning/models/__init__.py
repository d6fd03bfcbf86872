"""On site: what was recorded and measured, what is aimed at, and what equalisation follows."""

from rigs.tuning.models.equalisations import Equalisation
from rigs.tuning.models.notch_plans import NotchPlan
from rigs.tuning.models.recordings import Analysis, Calibration, Recording
from rigs.tuning.models.targets import TargetCurve

__all__ = ["Analysis", "Calibration", "Equalisation", "NotchPlan", "Recording", "TargetCurve"]
