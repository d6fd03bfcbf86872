"""Proposed notches: nothing of them is placed before somebody does."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from rigs.events.models import Event
from rigs.jobs.models import Job


class NotchPlan(Job):
    """Rings and notches worked out from measured loops.

    `inputs` names the recordings (by id, stage microphone and hash) and all that was asked for,
    `result` is what `calc` found.
    """

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="notch_plans")
    inputs = models.JSONField(editable=False)
    fingerprint = models.CharField(max_length=64, editable=False)
    result = models.JSONField(null=True, editable=False)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["event", "-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(progress__lte=100), name="notch_plan_progress_percent"
            ),
            models.CheckConstraint(
                condition=~Q(state="done") | Q(result__isnull=False),
                name="notch_plan_done_has_result",
            ),
        ]

    def __str__(self) -> str:
        return f"notch plan {self.pk}"
