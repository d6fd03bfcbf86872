"""Pages of measuring and equalising: translate HTTP, nothing else."""

from rigs.tuning.views.after import fit_carry, fit_check
from rigs.tuning.views.analyses import recording, recording_analyse
from rigs.tuning.views.calibrations import calibration, calibration_remove, calibrations
from rigs.tuning.views.fits import fit, fit_take, fits
from rigs.tuning.views.listening import (
    listening,
    listening_heard,
    listening_notch,
    recording_listen,
)
from rigs.tuning.views.notch_plans import notch_plan, notch_plan_place, notch_plans
from rigs.tuning.views.recordings import event, recording_new, recording_remove
from rigs.tuning.views.ringing import (
    notch_new,
    notch_off,
    notches_set,
    ring_entry,
    ring_out,
    ring_out_set_up,
)
from rigs.tuning.views.sounds import recording_sound, signal_sound, signals
from rigs.tuning.views.spots import spots
from rigs.tuning.views.targets import target, target_remove, targets

__all__ = [
    "calibration",
    "calibration_remove",
    "calibrations",
    "event",
    "fit",
    "fit_carry",
    "fit_check",
    "fit_take",
    "fits",
    "listening",
    "listening_heard",
    "listening_notch",
    "notch_new",
    "notch_off",
    "notch_plan",
    "notch_plan_place",
    "notch_plans",
    "notches_set",
    "recording",
    "recording_analyse",
    "recording_listen",
    "recording_new",
    "recording_remove",
    "recording_sound",
    "ring_entry",
    "ring_out",
    "ring_out_set_up",
    "signal_sound",
    "signals",
    "spots",
    "target",
    "target_remove",
    "targets",
]
