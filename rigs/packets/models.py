"""Runs (one computation of one frozen input) and packets (what the crew reads)."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from rigs.events.models import Event
from rigs.jobs.models import Job


class Run(Job):
    """One computation. The same input is the same run: `fingerprint` is unique."""

    fingerprint = models.CharField(max_length=64, unique=True, editable=False)
    calc_version = models.CharField(max_length=20, editable=False)
    description = models.JSONField(editable=False)
    prediction = models.JSONField(null=True, editable=False)
    asked_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True)
    seconds = models.FloatField(null=True, help_text="Time spent by the worker that finished it.")
    computing_seconds = models.FloatField(null=True, help_text="Of these, inside calc.")

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.CheckConstraint(condition=Q(progress__lte=100), name="run_progress_percent"),
            models.CheckConstraint(
                condition=~Q(state="done") | Q(prediction__isnull=False),
                name="run_done_has_prediction",
            ),
        ]

    def __str__(self) -> str:
        return f"run {self.fingerprint[:8]}"


class Packet(models.Model):
    """A tuning packet: never changes after it is made.

    A request makes the row with no `sections`; the worker fills them once, and a database
    trigger refuses any change after that.
    """

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="packets")
    number = models.PositiveIntegerField(help_text="Version within the event, from 1.")
    run = models.ForeignKey(Run, on_delete=models.PROTECT, related_name="packets")
    about = models.JSONField(default=dict, help_text="Event, place and times as they were then.")
    kit = models.JSONField(help_text="The kit list as it was when the packet was asked for.")
    overrides = models.JSONField(
        default=list, help_text="Who answers for which finding, as it was then."
    )
    sections = models.JSONField(null=True)
    pictures = models.JSONField(default=dict, help_text="SVG by key; sections name the keys.")
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)
    made_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["event", "-number"]
        permissions = [
            ("request_packet", "Can ask for tuning packets"),
            ("see_packets", "Can see tuning packets"),
        ]
        constraints = [
            models.UniqueConstraint(fields=["event", "number"], name="packet_number_once"),
            models.CheckConstraint(
                condition=Q(sections__isnull=True, made_at__isnull=True)
                | Q(sections__isnull=False, made_at__isnull=False),
                name="packet_made_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.event} packet {self.number}"

    @property
    def made(self) -> bool:
        """Whether there is something to read."""
        return self.made_at is not None


class Tick(models.Model):
    """Somebody saw on site that a setting is as the packet says.

    `mark` is that of the card then: a later version whose card has the same mark says the same.
    `said` is what an entry of a dial-in sheet read then, so that a later version can name it.
    """

    packet = models.ForeignKey(Packet, on_delete=models.CASCADE, related_name="ticks")
    card = models.CharField(max_length=120)
    mark = models.CharField(max_length=16, blank=True, editable=False)
    said = models.CharField(max_length=200, blank=True, editable=False)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        permissions = [("tick", "Can tick settings as seen on site")]
        constraints = [models.UniqueConstraint(fields=["packet", "card"], name="tick_once")]

    def __str__(self) -> str:
        return f"{self.card} seen on site"
