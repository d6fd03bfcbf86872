"""Loudspeaker processors, and what each can be set to."""

from django.contrib.postgres.fields import ArrayField
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from rigs.catalogue.models.items import Item, Kind, Tracking
from rigs.catalogue.models.sheets import positive, quantity

MOST_ORDER = 8
DB_PER_OCTAVE = 6


class PassFamily(models.TextChoices):
    BUTTERWORTH = "Butterworth", "Butterworth"
    LINKWITZ_RILEY = "Linkwitz-Riley", "Linkwitz-Riley"
    BESSEL = "Bessel", "Bessel"


class FilterKind(models.TextChoices):
    HIGH_PASS = "high-pass", "high-pass"
    LOW_PASS = "low-pass", "low-pass"
    PEAK = "peak", "peak"
    LOW_SHELF = "low shelf", "low shelf"
    HIGH_SHELF = "high shelf", "high shelf"
    ALL_PASS = "all-pass", "all-pass"
    NOTCH = "notch", "notch"


class Processor(Item):
    """A loudspeaker processor type; its `ProcessorDial`s and `ProcessorSlope`s say what it sets."""

    kind_of_class = Kind.PROCESSOR
    tracking_of_class = Tracking.SERIAL

    class BesselCorner(models.TextChoices):
        HALF_POWER = "-3 dB", "where the level has fallen by 3 dB"
        PHASE = "phase", "the corner of the asymptotes, where the phase is half way"
        UNKNOWN = "unknown", "unknown"

    inputs = models.PositiveSmallIntegerField(default=2, validators=[MinValueValidator(1)])
    outputs = models.PositiveSmallIntegerField(default=6, validators=[MinValueValidator(1)])
    max_input_dbu = quantity("maximum input in dBu", -20, 40)
    max_output_dbu = quantity("maximum output in dBu", -10, 30)
    output_noise_dbu = quantity("output noise in dBu", -130, 10)
    mains_w = quantity("mains power in W", 0.1, 1000)
    sampling_hz = quantity("sampling rate in Hz", 8000, 800_000)
    latency_ms = quantity(
        "latency in ms",
        0,
        100,
        "From input to output with every delay at 0. Leave empty if unknown.",
    )
    filters_per_output = models.PositiveSmallIntegerField(
        "filters of an output",
        null=True,
        blank=True,
        validators=[MaxValueValidator(64, "More than 64 filters on one output?")],
        help_text="Peaks, shelves, all-passes and notches; a high and a low pass come besides. "
        "Leave empty if unknown.",
    )
    kinds = ArrayField(
        models.CharField(max_length=12, choices=FilterKind.choices),
        verbose_name="kinds of filters",
        default=list,
        blank=True,
        help_text="None ticked: unknown.",
    )
    bessel_corner = models.CharField(
        "corner of a Bessel pass",
        max_length=8,
        choices=BesselCorner.choices,
        default=BesselCorner.UNKNOWN,
        help_text="What the frequency that is typed means.",
    )
    mixes_inputs = models.BooleanField(
        "an output can play the sum of inputs", null=True, blank=True
    )

    class Meta:
        constraints = [
            *positive("mains_w", "sampling_hz"),
            models.CheckConstraint(
                condition=Q(filters_per_output__isnull=True) | Q(filters_per_output__lte=64),
                name="processor_filters_believable",
            ),
        ]


class ProcessorDial(models.Model):
    """What one quantity of a processor can be set to; see `calc.system.Dial`."""

    class Quantity(models.TextChoices):
        GAIN = "gain_db", "gain in dB"
        DELAY = "delay_ms", "delay in ms"
        PASS_FREQUENCY = "pass_hz", "corner of high and low passes in Hz"
        FILTER_FREQUENCY = "filter_hz", "frequency of filters in Hz"
        FILTER_GAIN = "filter_gain_db", "gain of filters in dB"
        FILTER_Q = "filter_q", "Q of filters"
        LIMITER = "limiter_dbu", "limiter's threshold in dBu"
        ATTACK = "attack_ms", "limiter's attack in ms"
        RELEASE = "release_ms", "limiter's release in ms"
        GRAPHIC = "graphic_db", "bands of a 31-band graphic equaliser in dB"

    class Scale(models.TextChoices):
        LINEAR = "linear", "of its own unit"
        PER_OCTAVE = "steps per octave", "to an octave, counted from 1 kHz"

    FREQUENCIES = (Quantity.PASS_FREQUENCY, Quantity.FILTER_FREQUENCY)

    processor = models.ForeignKey(Processor, on_delete=models.CASCADE, related_name="dials")
    quantity = models.CharField("what is set", max_length=14, choices=Quantity.choices)
    least = models.FloatField(
        "from", null=True, blank=True, validators=[MinValueValidator(-200), MaxValueValidator(1e5)]
    )
    most = models.FloatField(
        "to", null=True, blank=True, validators=[MinValueValidator(-200), MaxValueValidator(1e5)]
    )
    step = models.FloatField(
        "step",
        null=True,
        blank=True,
        validators=[
            MinValueValidator(1e-5, "A step lies above 0. Leave it empty if nobody knows it."),
            MaxValueValidator(1e5),
        ],
    )
    scale = models.CharField(
        "steps are",
        max_length=16,
        choices=Scale.choices,
        default=Scale.LINEAR,
        help_text="24 steps to an octave: only for frequencies.",
    )

    class Meta:
        ordering = ["processor", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["processor", "quantity"],
                name="dial_once",
                violation_error_message="This is described already.",
            ),
            models.CheckConstraint(
                condition=Q(least__isnull=True) | Q(most__isnull=True) | Q(least__lte=F("most")),
                name="dial_upwards",
                violation_error_message="It can't go from a greater to a smaller number.",
            ),
            models.CheckConstraint(
                condition=Q(step__isnull=True) | Q(step__gt=0),
                name="dial_step_positive",
                violation_error_message="A step lies above 0. Leave it empty if nobody knows it.",
            ),
            models.CheckConstraint(
                condition=Q(scale="linear") | Q(quantity__in=["pass_hz", "filter_hz"]),
                name="only_frequencies_step_by_octave",
                violation_error_message="Only frequencies have steps to an octave.",
            ),
        ]

    def __str__(self) -> str:
        return self.get_quantity_display()


class ProcessorSlope(models.Model):
    """A high or low pass that a processor offers."""

    ORDERS = [(order, f"{order * DB_PER_OCTAVE} dB/octave") for order in range(1, MOST_ORDER + 1)]

    processor = models.ForeignKey(Processor, on_delete=models.CASCADE, related_name="slopes")
    family = models.CharField(max_length=16, choices=PassFamily.choices)
    order = models.PositiveSmallIntegerField("slope", choices=ORDERS, default=4)

    class Meta:
        ordering = ["processor", "family", "order"]
        constraints = [
            models.UniqueConstraint(
                fields=["processor", "family", "order"],
                name="slope_once",
                violation_error_message="This slope stands here already.",
            ),
            models.CheckConstraint(
                condition=Q(order__gte=1, order__lte=MOST_ORDER), name="slope_order_1_to_8"
            ),
            models.CheckConstraint(
                condition=~Q(family="Linkwitz-Riley") | Q(order__in=(2, 4, 6, 8)),
                name="linkwitz_riley_slope_is_even",
                violation_error_message="Linkwitz-Riley passes have 12, 24, 36 or 48 dB/octave.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.family} {self.order * DB_PER_OCTAVE} dB/octave"
