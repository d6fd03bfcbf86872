"""Amplifiers: their modes and their ratings."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from rigs.catalogue.gains import gains_fault
from rigs.catalogue.models.items import Item, Kind, Tracking
from rigs.catalogue.models.sheets import Sheet, not_below, positive, quantity


class Mode(models.TextChoices):
    PER_CHANNEL = "per channel"
    BRIDGED = "bridged"
    PARALLEL = "parallel"


class Amplifier(Item):
    """An amplifier type. Gain is stated in dB or as the sensitivity for full power."""

    kind_of_class = Kind.AMPLIFIER
    tracking_of_class = Tracking.SERIAL

    channels = models.PositiveSmallIntegerField(
        default=2,
        validators=[MinValueValidator(1), MaxValueValidator(16, "More than 16 channels?")],
    )
    rack_units = models.PositiveSmallIntegerField(default=2)
    gain_db = quantity("voltage gain in dB", 0, 60)
    gain_settings_db = models.JSONField(
        "selectable gains in dB",
        default=list,
        blank=True,
        help_text="What its gain switch offers: [26, 32, 38]. Empty: it has one gain only.",
    )
    sensitivity_v = quantity("input sensitivity in V", 0.05, 20)
    sensitivity_load_ohm = quantity("load of the sensitivity in ohm", 1, 100)
    damping_factor = quantity("damping factor re 8 ohm", 1, 100000)
    mains_v = quantity("mains voltage in V", 90, 420)
    idle_w = quantity("idle power in W", 0.1, 5000)
    eighth_power_w = quantity("mains power at 1/8 output in W", 1, 30000)
    third_power_w = quantity("mains power at 1/3 output in W", 1, 60000)
    power_factor = quantity("power factor", 0.1, 1)
    inrush_a = quantity("inrush current in A", 0.1, 1000)
    peak_v = quantity(
        "peak voltage in V",
        1,
        2000,
        "Highest instantaneous voltage of one channel. Leave empty if unknown.",
    )
    input_clip_dbu = quantity(
        "input clip in dBu",
        -20,
        40,
        "Where the input stage clips, ahead of the level control. Leave empty if unknown.",
    )
    output_noise_dbu = quantity(
        "output noise in dBu",
        -130,
        10,
        "Of one channel, level control fully up. Leave empty if unknown.",
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(channels__gte=1) & Q(channels__lte=16), name="amplifier_channels"
            ),
            not_below(
                "third_power_w",
                "eighth_power_w",
                "amplifier_third_not_below_eighth",
                "At 1/3 output it can't take less from the mains than at 1/8.",
            ),
            *positive("sensitivity_v", "damping_factor", "mains_v", "power_factor", "peak_v"),
        ]

    def clean(self) -> None:
        super().clean()
        fault = gains_fault(self.gain_settings_db)
        if fault:
            raise ValidationError({"gain_settings_db": fault})
        if self.gain_settings_db and self.gain_db not in (None, *self.gain_settings_db):
            raise ValidationError(
                {"gain_db": "This gain is not among the selectable ones: add it there."}
            )


class AmplifierMode(Sheet):
    """What one mode of an amplifier demands and gives."""

    class MinimumKind(models.TextChoices):
        RATED = "rated", "a rated load"
        TRUE = "true", "a true impedance"

    amplifier = models.ForeignKey(Amplifier, on_delete=models.CASCADE, related_name="modes")
    mode = models.CharField(max_length=12, choices=Mode.choices)
    minimum_load_ohm = quantity("minimum load in ohm", 0.5, 100)
    minimum_kind = models.CharField(
        max_length=5, choices=MinimumKind.choices, default=MinimumKind.RATED
    )
    extra_gain_db = models.FloatField(
        "gain over one channel in dB",
        default=0,
        validators=[MinValueValidator(-12), MaxValueValidator(12)],
        help_text="6.02 for a bridged pair.",
    )

    class Meta:
        ordering = ["amplifier", "mode"]
        constraints = [
            models.UniqueConstraint(
                fields=["amplifier", "mode"],
                name="amplifier_mode_once",
                violation_error_message="This mode is listed already.",
            ),
            *positive("minimum_load_ohm"),
        ]

    def __str__(self) -> str:
        return self.mode


class Rating(Sheet):
    """Power of one channel (or bridged pair) into one rated load."""

    class Signal(models.TextChoices):
        CONTINUOUS = "continuous sine"
        BURST = "burst"
        NOT_STATED = "not stated"

    amplifier = models.ForeignKey(Amplifier, on_delete=models.CASCADE, related_name="ratings")
    mode = models.CharField(max_length=12, choices=Mode.choices)
    load_ohm = models.FloatField(
        validators=[MinValueValidator(0.5), MaxValueValidator(600, "More than 600 ohm?")]
    )
    power_w = quantity("power in W", 0.1, 50000)
    signal = models.CharField(
        "stated for",
        max_length=15,
        choices=Signal.choices,
        default=Signal.NOT_STATED,
        help_text="A burst is more than it can hold.",
    )

    class Meta:
        ordering = ["amplifier", "mode", "-load_ohm"]
        constraints = [
            models.UniqueConstraint(
                fields=["amplifier", "mode", "load_ohm"],
                name="rating_once",
                violation_error_message="This load is listed already for this mode.",
            ),
            models.CheckConstraint(condition=Q(load_ohm__gt=0), name="rating_load_positive"),
            *positive("power_w"),
        ]

    def __str__(self) -> str:
        return f"{self.mode}, {self.load_ohm:g} ohm"
