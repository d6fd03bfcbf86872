"""Proposals of how to aim and trim a rig: nothing of them is applied before somebody accepts."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from rigs.events.models import Event
from rigs.jobs.models import Job


class AimProposal(Job):
    """One search over a frozen rig.

    `fingerprint` is that of `description`: a rig that has another one now is not the rig that the
    proposal is for.
    """

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="aims")
    fingerprint = models.CharField(max_length=64, editable=False)
    description = models.JSONField(editable=False)
    freedoms = models.JSONField(editable=False)
    asked_words = models.CharField(max_length=400, editable=False)
    result = models.JSONField(null=True, editable=False)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)
    accepted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    accepted_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(progress__lte=100), name="aim_progress_percent"),
            models.CheckConstraint(
                condition=~Q(state="done") | Q(result__isnull=False), name="aim_done_has_result"
            ),
        ]

    def __str__(self) -> str:
        return f"proposal {self.pk}"
