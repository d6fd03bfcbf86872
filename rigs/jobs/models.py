"""What every row of long work has in common."""

from django.db import models


class Job(models.Model):
    """waiting -> working -> done, or failed with a sentence.

    A worker claims a row by a conditional update that takes a lease (`rigs.jobs.claims`); a row
    whose lease has run out may be claimed by the next worker, so a killed worker loses nothing.
    """

    class State(models.TextChoices):
        WAITING = "waiting"
        WORKING = "working"
        DONE = "done"
        FAILED = "failed"

    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    progress = models.PositiveSmallIntegerField(default=0, help_text="Per cent.")
    doing = models.CharField(max_length=120, blank=True)
    fault = models.TextField(blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    lease_until = models.DateTimeField(null=True)

    class Meta:
        abstract = True
