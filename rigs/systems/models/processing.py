"""What the processors of a rig are set to, version by version.

A revision is whole: it holds every output of every processor of the event. It never changes
(the database refuses); a change makes the next one, and going back makes another that says the
same as an earlier one. The current revision of an event is the one with the highest number.
"""

from datetime import datetime

from django.conf import settings
from django.contrib.postgres.fields import ArrayField
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from rigs.catalogue.models import FilterKind, PassFamily
from rigs.events.models import Event
from rigs.systems.models.base import figure, within
from rigs.systems.models.parts import ProcessorPlace


class Revision(models.Model):
    """One version of all processing of an event: who made it, when, and why."""

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="revisions")
    number = models.PositiveIntegerField(help_text="Version within the event, from 1.")
    reason = models.CharField(max_length=200)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["event_id", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["event", "number"], name="revision_number_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="revision_counts_from_one"),
            models.CheckConstraint(condition=~Q(reason=""), name="revision_has_a_reason"),
        ]

    def __str__(self) -> str:
        return f"revision {self.number}"

    @property
    def version(self) -> int:
        """What somebody who changes the processing has seen: as with any row of a rig."""
        return self.number

    @property
    def changed_by(self) -> models.Model | None:
        """Who made it."""
        return self.made_by

    @property
    def changed_at(self) -> datetime:
        """When it was made."""
        return self.made_at


class Output(models.Model):
    """One processor output of a revision: what it plays, its gain, delay and polarity."""

    revision = models.ForeignKey(Revision, on_delete=models.CASCADE, related_name="outputs")
    processor_place = models.ForeignKey(
        ProcessorPlace, on_delete=models.CASCADE, related_name="outputs"
    )
    number = models.PositiveSmallIntegerField("output", validators=[MinValueValidator(1)])
    inputs = ArrayField(
        models.PositiveSmallIntegerField(validators=[MinValueValidator(1)]),
        default=list,
        blank=True,
        help_text="Which inputs it plays, added up. Empty: nobody said.",
    )
    gain_db = figure(
        "gain in dB", -80, 40, "From its input to this output, where the filters do nothing."
    )
    delay_ms = models.FloatField(
        "delay in ms",
        default=0,
        validators=[
            MinValueValidator(0, "No processor can look ahead: 0 ms at least."),
            MaxValueValidator(2000, "More than 2000 ms is not believable."),
        ],
    )
    inverted = models.BooleanField("polarity inverted", default=False)

    class Meta:
        ordering = ["revision_id", "processor_place__name", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["revision", "processor_place", "number"], name="output_once"
            ),
            models.CheckConstraint(condition=Q(number__gte=1), name="outputs_count_from_one"),
            within("gain_db", -80, 40, "output_gain_believable"),
            within("delay_ms", 0, 2000, "output_delay_believable"),
        ]

    def __str__(self) -> str:
        return f"{self.processor_place}, output {self.number}"


class OutputFilter(models.Model):
    """One filter of an output. What the figures mean: `calc.system.Filter`."""

    Kind = FilterKind
    Family = PassFamily
    PASSES = (FilterKind.HIGH_PASS, FilterKind.LOW_PASS)

    output = models.ForeignKey(Output, on_delete=models.CASCADE, related_name="filters")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=12, choices=FilterKind.choices)
    family = models.CharField(max_length=16, blank=True, choices=PassFamily.choices)
    order = models.PositiveSmallIntegerField(
        default=2, validators=[MinValueValidator(1), MaxValueValidator(8)]
    )
    frequency_hz = models.FloatField(
        "frequency in Hz",
        validators=[
            MinValueValidator(5, "Below 5 Hz there is nothing to filter."),
            MaxValueValidator(40_000, "Nobody hears above 40 kHz."),
        ],
    )
    gain_db = models.FloatField(
        "gain in dB",
        default=0,
        validators=[
            MinValueValidator(-40, "A filter cuts by 40 dB at most."),
            MaxValueValidator(20, "A filter lifts by 20 dB at most."),
        ],
    )
    q = figure("Q", 0.1, 200)

    class Meta:
        ordering = ["output_id", "position"]
        constraints = [
            models.UniqueConstraint(fields=["output", "position"], name="filter_position_once"),
            models.CheckConstraint(
                condition=Q(kind__in=("high-pass", "low-pass")) | Q(family=""),
                name="only_passes_have_a_family",
                violation_error_message="Only high and low passes have a family.",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=("high-pass", "low-pass")) | ~Q(family=""),
                name="passes_have_a_family",
                violation_error_message="Say which family this pass is of.",
            ),
            models.CheckConstraint(
                condition=~Q(family="Linkwitz-Riley") | Q(order__in=(2, 4, 6, 8)),
                name="linkwitz_riley_is_even",
                violation_error_message="Linkwitz-Riley passes have an even order: 12, 24, 36 or "
                "48 dB an octave.",
            ),
            models.CheckConstraint(
                condition=Q(order__gte=1, order__lte=8),
                name="order_1_to_8",
                violation_error_message="The slope must lie between 6 and 48 dB an octave.",
            ),
            models.CheckConstraint(
                condition=~Q(kind="all-pass") | Q(order__lte=2),
                name="all_pass_order_1_or_2",
                violation_error_message="An all-pass has order 1 or 2.",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=("peak", "low shelf", "high shelf")) | Q(gain_db=0),
                name="only_peaks_and_shelves_have_gain",
                violation_error_message="Only peaks and shelves have a gain.",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=("peak", "notch")) | Q(q__isnull=False),
                name="peaks_and_notches_have_a_q",
                violation_error_message="Say how narrow it is: a peak or a notch needs a Q.",
            ),
            models.UniqueConstraint(
                fields=["output", "kind"],
                condition=Q(kind__in=("high-pass", "low-pass")),
                name="one_pass_of_a_kind",
                violation_error_message="An output has one high pass and one low pass at most.",
            ),
            models.CheckConstraint(
                condition=Q(frequency_hz__gte=5, frequency_hz__lte=40_000),
                name="filter_frequency_believable",
            ),
            within("gain_db", -40, 20, "filter_gain_believable"),
            within("q", 0.1, 200, "filter_q_believable"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} at {self.frequency_hz:g} Hz"
