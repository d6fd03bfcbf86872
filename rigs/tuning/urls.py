"""Paths of measuring and equalising."""

from django.urls import path

from rigs.tuning import views

app_name = "tuning"

TUNING = "events/<int:event_id>/tuning/"
RING_OUT = f"{TUNING}ring-out/"
RECORDING = f"{TUNING}recordings/<int:recording_id>/"

urlpatterns = [
    path(TUNING, views.event, name="event"),
    path(f"{TUNING}recordings/new/", views.recording_new, name="recording_new"),
    path(f"{TUNING}spots/", views.spots, name="spots"),
    path(f"{TUNING}equalise/", views.fits, name="fits"),
    path(f"{TUNING}equalise/<int:fit_id>/", views.fit, name="fit"),
    path(f"{TUNING}equalise/<int:fit_id>/take/", views.fit_take, name="fit_take"),
    path(f"{TUNING}equalise/<int:fit_id>/check/", views.fit_check, name="fit_check"),
    path(f"{TUNING}equalise/from/<int:fit_id>/", views.fit_carry, name="fit_carry"),
    path(RING_OUT, views.ring_out, name="ring_out"),
    path(f"{RING_OUT}set-up/", views.ring_out_set_up, name="ring_out_set_up"),
    path(f"{RING_OUT}notches/", views.notch_new, name="notch_new"),
    path(f"{RING_OUT}notches/<int:notch_id>/off/", views.notch_off, name="notch_off"),
    path(f"{RING_OUT}notches/set/", views.notches_set, name="notches_set"),
    path(f"{RING_OUT}plans/", views.notch_plans, name="notch_plans"),
    path(f"{RING_OUT}plans/<int:plan_id>/", views.notch_plan, name="notch_plan"),
    path(f"{RING_OUT}plans/<int:plan_id>/place/", views.notch_plan_place, name="notch_plan_place"),
    path(f"{RING_OUT}listen/", views.listening, name="listening"),
    path(f"{RING_OUT}listen/heard/", views.listening_heard, name="listening_heard"),
    path(f"{RING_OUT}listen/notch/", views.listening_notch, name="listening_notch"),
    path(f"{RING_OUT}log/", views.ring_entry, name="ring_entry"),
    path(RECORDING, views.recording, name="recording"),
    path(f"{RECORDING}analyse/", views.recording_analyse, name="recording_analyse"),
    path(f"{RECORDING}listen/", views.recording_listen, name="recording_listen"),
    path(f"{RECORDING}remove/", views.recording_remove, name="recording_remove"),
    path(f"{RECORDING}sound.wav", views.recording_sound, name="recording_sound"),
    path(f"{TUNING}signals/", views.signals, name="signals"),
    path(f"{TUNING}signals/<slug:signal>.wav", views.signal_sound, name="signal_sound"),
    path("microphones/", views.calibrations, name="calibrations"),
    path("microphones/new/", views.calibration, name="calibration_new"),
    path("microphones/<int:calibration_id>/", views.calibration, name="calibration"),
    path(
        "microphones/<int:calibration_id>/remove/",
        views.calibration_remove,
        name="calibration_remove",
    ),
    path("targets/", views.targets, name="targets"),
    path("targets/new/", views.target, name="target_new"),
    path("targets/<int:target_id>/", views.target, name="target"),
    path("targets/<int:target_id>/remove/", views.target_remove, name="target_remove"),
]
