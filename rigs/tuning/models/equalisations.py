"""Proposed equalisations: nothing of them is applied before somebody accepts."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from rigs.events.models import Event
from rigs.jobs.models import Job
from rigs.systems.models import ProcessorPlace, Revision


class Equalisation(Job):
    """One fit: frozen analyses of spots, a target, one output's abilities -> filters.

    `inputs` holds all that the fit reads (so that the same inputs give the same filters),
    `result` what `calc` found. Accepting writes a processing revision. `part` says what the
    filters are for: the venue's (may be carried to the next event there, whatever the rig) or
    the boxes' (never carried to other boxes).
    """

    class Part(models.TextChoices):
        VENUE = "venue", "the room"
        BOXES = "boxes", "the boxes"

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="equalisations")
    processor_place = models.ForeignKey(
        ProcessorPlace, on_delete=models.CASCADE, related_name="equalisations"
    )
    outputs = models.JSONField(help_text="The numbers of the outputs that get the filters.")
    part = models.CharField(max_length=6, choices=Part.choices, default=Part.VENUE)
    inputs = models.JSONField(editable=False)
    fingerprint = models.CharField(max_length=64, editable=False)
    result = models.JSONField(null=True, editable=False)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)
    accepted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    accepted_as = models.ForeignKey(
        Revision, on_delete=models.SET_NULL, null=True, related_name="equalisations"
    )

    class Meta:
        ordering = ["event", "-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(progress__lte=100), name="eq_progress_percent"),
            models.CheckConstraint(
                condition=~Q(state="done") | Q(result__isnull=False), name="eq_done_has_result"
            ),
        ]

    def __str__(self) -> str:
        return f"equalisation {self.pk}"
