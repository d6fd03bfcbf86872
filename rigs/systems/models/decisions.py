"""What people decided about a rig: overridden findings, limiters that are set."""

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from rigs.events.models import Event
from rigs.systems.models.lines import DriveLine

OVERLOAD = frozenset({"load", "power", "peak", "limiter"})
MAINS = frozenset({"supply", "phase", "volt_drop", "inrush"})


def _person(**more: Any) -> models.ForeignKey:
    """Who decided. Their account cannot be deleted while the decision stands."""
    return models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", **more
    )


class Override(models.Model):
    """Somebody answers for a finding that does not hold. It changes no figure and no state.

    It was given for one value, state and sentence; when the rig's finding says anything else,
    the override is void. Overload and mains need a second, different person.
    """

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="overrides")
    subject = models.CharField(max_length=100)
    check_key = models.CharField(max_length=20)
    title = models.CharField(max_length=100)
    value = models.FloatField(null=True)
    unit = models.CharField(max_length=20, blank=True)
    state = models.CharField(max_length=12)
    sentence = models.TextField()
    person = _person()
    reason = models.CharField(max_length=300)
    at = models.DateTimeField()
    expires_at = models.DateTimeField()
    second_person = _person(null=True, blank=True)
    second_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = _person(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["event", "subject", "check_key", "-at"]
        constraints = [
            models.UniqueConstraint(
                fields=["event", "subject", "check_key"],
                condition=Q(withdrawn_at__isnull=True),
                name="override_once",
                violation_error_message="Somebody has overridden this already.",
            ),
            models.CheckConstraint(
                condition=Q(second_person__isnull=True) | ~Q(second_person=F("person")),
                name="two_different_people",
                violation_error_message="The second person must be somebody else.",
            ),
            models.CheckConstraint(
                condition=Q(second_person__isnull=True, second_at__isnull=True)
                | Q(second_person__isnull=False, second_at__isnull=False),
                name="second_person_has_a_time",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_by__isnull=True, withdrawn_at__isnull=True)
                | Q(withdrawn_by__isnull=False, withdrawn_at__isnull=False),
                name="withdrawal_has_a_name_and_a_time",
            ),
            models.CheckConstraint(
                condition=Q(expires_at__gt=F("at")), name="override_expires_after_it_was_given"
            ),
            models.CheckConstraint(condition=~Q(reason=""), name="override_has_a_reason"),
            models.CheckConstraint(condition=~Q(state="holds"), name="nothing_to_override"),
        ]

    def __str__(self) -> str:
        return f"{self.title} of {self.subject}"

    @property
    def needs_second(self) -> bool:
        """Whether one person's word is not enough."""
        return self.check_key in OVERLOAD | MAINS


class LimiterNote(models.Model):
    """The limiter thresholds of a line that somebody has set at the processor.

    `inputs` is the plain description of all that they were worked out from, so that what has
    changed since can be said.
    """

    line = models.OneToOneField(DriveLine, on_delete=models.CASCADE, related_name="limiter_note")
    rms_dbu = models.FloatField()
    peak_dbu = models.FloatField(null=True)
    inputs = models.JSONField()
    made_for = models.CharField(max_length=64)
    person = _person()
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"limiter of {self.line}"
