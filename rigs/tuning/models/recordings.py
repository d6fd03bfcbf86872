"""Sound that came in, how the microphone was calibrated, and what was found in it."""

from typing import Any

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from rigs.events.models import Event
from rigs.jobs.models import Job
from rigs.systems.models import ListeningSpot, StageMicrophone
from rigs.versions import Versioned


def _person(**more: Any) -> models.ForeignKey:
    return models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+", **more
    )


class Calibration(Versioned):
    """How one measuring microphone differs from a perfect one, over frequency."""

    name = models.CharField(
        max_length=60,
        unique=True,
        error_messages={"unique": "There is a calibration of that name already."},
    )
    curve = models.JSONField(
        editable=False,
        help_text="Lists frequency_hz and level_db: what it reads too much.",
    )

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


def _place(recording: "Recording", _: str) -> str:
    return f"recordings/{recording.event_id}/{recording.sha256}.wav"


class Recording(models.Model):
    """One sound file: what a microphone heard at a spot, with or without what was played.

    The file is stored under its own hash and never changed. `played` says what the tool itself
    had played ({"kind": "sweep", "seconds": 8, "rate_hz": 48000, ...}), so that it can be made
    again as the reference; `reference_channel` (from 1) is the channel that carries what was
    played. Neither: levels and background only.

    `look` is the first look at its samples (`rigs.tuning.look`), `captured` what a browser said
    of its input (`rigs.tuning.captured`).
    """

    class Content(models.TextChoices):
        SWEEP = "sweep", "exponential sweep"
        NOISE = "noise", "pink noise"
        BACKGROUND = "background", "background noise"
        OTHER = "other", "something else"

    class Source(models.TextChoices):
        UPLOADED = "uploaded"
        RECORDED = "recorded", "recorded in the browser"

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="recordings")
    spot = models.ForeignKey(
        ListeningSpot, on_delete=models.RESTRICT, null=True, blank=True, related_name="recordings"
    )
    microphone = models.ForeignKey(
        StageMicrophone,
        on_delete=models.RESTRICT,
        null=True,
        blank=True,
        related_name="recordings",
        verbose_name="or the stage microphone that heard it",
    )
    content = models.CharField(max_length=10, choices=Content.choices)
    source = models.CharField(max_length=10, choices=Source.choices, editable=False)
    lines = models.ManyToManyField(
        "systems.DriveLine", related_name="+", blank=True, verbose_name="lines that played"
    )
    calibration = models.ForeignKey(
        Calibration, on_delete=models.PROTECT, null=True, blank=True, related_name="recordings"
    )
    sensitivity_db = models.FloatField(
        "level of full scale in dB SPL",
        null=True,
        blank=True,
        validators=[MinValueValidator(60), MaxValueValidator(200)],
        help_text="Empty: levels are relative only.",
    )
    played = models.JSONField(null=True, blank=True, editable=False)
    reference_channel = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(2)]
    )
    file = models.FileField(upload_to=_place, editable=False)
    sha256 = models.CharField(max_length=64, editable=False)
    rate_hz = models.PositiveIntegerField(editable=False)
    channels = models.PositiveSmallIntegerField(editable=False)
    frames = models.PositiveBigIntegerField(editable=False)
    look = models.JSONField(editable=False)
    captured = models.JSONField(null=True, blank=True, editable=False)
    note = models.CharField(max_length=200, blank=True)
    made_by = _person(editable=False)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["event", "-made_at", "-pk"]
        permissions = [("measure", "Can measure and equalise")]
        constraints = [
            models.CheckConstraint(
                condition=Q(channels__gte=1, channels__lte=2), name="recording_mono_or_stereo"
            ),
            models.CheckConstraint(
                condition=Q(rate_hz__gte=44_100, rate_hz__lte=192_000),
                name="recording_rate_believable",
            ),
            models.CheckConstraint(condition=Q(frames__gte=1), name="recording_has_samples"),
            models.CheckConstraint(
                condition=Q(reference_channel__isnull=True)
                | Q(reference_channel__gte=1, reference_channel__lte=F("channels")),
                name="reference_channel_is_there",
            ),
            models.CheckConstraint(
                condition=Q(content="background")
                | Q(spot__isnull=False)
                | Q(microphone__isnull=False),
                name="recording_has_a_spot",
                violation_error_message="Say at which listening spot it was recorded, or by which "
                "stage microphone.",
            ),
            models.CheckConstraint(
                condition=Q(spot__isnull=True) | Q(microphone__isnull=True),
                name="recording_at_one_place",
                violation_error_message="A stage microphone stands at no listening spot: choose "
                "one of both.",
            ),
            models.UniqueConstraint(
                fields=["event", "sha256"],
                name="recording_once",
                violation_error_message="This very file is here already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_content_display()} at {self.spot or self.microphone or 'no spot'}"


class Analysis(Job):
    """What was found in one recording. The same sound and settings are the same analysis."""

    recording = models.ForeignKey(Recording, on_delete=models.CASCADE, related_name="analyses")
    fingerprint = models.CharField(max_length=64, unique=True, editable=False)
    calc_version = models.CharField(max_length=20, editable=False)
    result = models.JSONField(null=True, editable=False)
    asked_by = _person(editable=False)
    asked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["recording", "-asked_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(progress__lte=100), name="analysis_progress_percent"
            ),
            models.CheckConstraint(
                condition=~Q(state="done") | Q(result__isnull=False),
                name="analysis_done_has_result",
            ),
        ]

    def __str__(self) -> str:
        return f"analysis of {self.recording}"
