"""Data sheets: what a type of thing is. What the company owns of it is in `stock`.

Every number may be unknown (null). What a number stands on is kept in `basis`, by field name;
a field that is not named there stands on the data sheet.
"""

from datetime import timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from rigs.versions import Versioned

MEASURED, DATA_SHEET, ASSUMED = "measured", "data sheet", "assumed"
BASES = (MEASURED, DATA_SHEET, ASSUMED)


def quantity(label: str, low: float, high: float, help_text: str = "") -> models.FloatField:
    """A number that may be unknown, with the range in which it is believable."""
    start = label[0].upper() + label[1:]
    return models.FloatField(
        label,
        null=True,
        blank=True,
        help_text=help_text or "Leave empty if unknown.",
        validators=[
            MinValueValidator(low, f"{start} must be at least {low:g}."),
            MaxValueValidator(high, f"{start} above {high:g} is not believable."),
        ],
    )


def positive(*names: str) -> list[models.BaseConstraint]:
    """Database checks that each named figure is above zero or unknown."""
    return [
        models.CheckConstraint(
            condition=Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__gt": 0}),
            name=f"%(class)s_{name}_positive",
            violation_error_message=f"{name.replace('_', ' ').capitalize()} must be above zero.",
        )
        for name in names
    ]


class Sheet(models.Model):
    """Anything with figures: keeps what each figure stands on."""

    basis = models.JSONField(
        default=dict,
        blank=True,
        help_text='Which figures are not from the data sheet: {"noise_power_w": "measured"}.',
    )

    class Meta:
        abstract = True

    def basis_of(self, field: str) -> str:
        """What the figure in `field` stands on: measured, data sheet, assumed or unknown."""
        if getattr(self, field) is None:
            return "unknown"
        return str(self.basis.get(field, DATA_SHEET))

    def clean(self) -> None:
        super().clean()
        if not isinstance(self.basis, dict):
            raise ValidationError({"basis": "Basis must map field names to words."})
        names = {f.name for f in self._meta.get_fields()}
        for field, word in self.basis.items():
            if field not in names:
                raise ValidationError({"basis": f"There is no figure called {field!r} here."})
            if word not in BASES:
                words = ", ".join(BASES)
                raise ValidationError({"basis": f"{field}: basis must be one of {words}."})


class Kind(models.TextChoices):
    LOUDSPEAKER = "loudspeaker"
    AMPLIFIER = "amplifier"
    CABLE = "cable"
    PROCESSOR = "processor"
    ACCESSORY = "accessory"


class Tracking(models.TextChoices):
    SERIAL = "serial", "each piece has a serial"
    COUNT = "count", "counted"


class Item(Sheet, Versioned):
    """A type of thing in the catalogue; its own kind adds a table (Loudspeaker, Cable ...)."""

    kind = models.CharField(max_length=20, choices=Kind.choices, editable=False)
    maker = models.CharField(max_length=60)
    model = models.CharField(max_length=80)
    tracking = models.CharField(
        max_length=10, choices=Tracking.choices, default=Tracking.COUNT, editable=False
    )
    mass_kg = quantity("mass in kg", 0.001, 2000)
    preparation = models.DurationField(
        default=timedelta(hours=0), help_text="Time needed before it leaves."
    )
    turnaround = models.DurationField(
        default=timedelta(hours=2), help_text="Time needed for test and repair after it is back."
    )
    notes = models.TextField(blank=True)

    kind_of_class: Kind = Kind.ACCESSORY
    tracking_of_class: Tracking = Tracking.COUNT

    class Meta:
        ordering = ["kind", "maker", "model"]
        permissions = [("keep_catalogue", "Can keep the catalogue")]
        constraints = [
            models.UniqueConstraint(
                fields=["maker", "model"],
                name="item_once",
                violation_error_message="This maker's model is in the catalogue already.",
            ),
            models.CheckConstraint(
                condition=Q(mass_kg__isnull=True) | Q(mass_kg__gt=0),
                name="item_mass_positive",
                violation_error_message="Mass must be above zero.",
            ),
            models.CheckConstraint(
                condition=Q(preparation__gte=timedelta(0)) & Q(turnaround__gte=timedelta(0)),
                name="item_buffers_not_negative",
                violation_error_message="Preparation and turnaround can't be negative.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.model}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if type(self) is not Item:
            self.kind = self.kind_of_class
            self.tracking = self.tracking_of_class
        super().save(*args, **kwargs)


class Connector(models.Model):
    """A kind of connection. `direct` ones mate without a cable (a pole in its socket)."""

    name = models.CharField(max_length=60, unique=True)
    direct = models.BooleanField(default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class End(models.Model):
    """What an item has to be connected by.

    `takes`: it needs something there (a loudspeaker's input, an amplifier's mains inlet).
    `feeds`: it can give (an amplifier's output, a loudspeaker's link, a stand's pole).
    A cable takes at one end and feeds at the other.
    """

    class Side(models.TextChoices):
        TAKES = "takes"
        FEEDS = "feeds"

    item = models.ForeignKey(Item, on_delete=models.CASCADE, related_name="ends")
    connector = models.ForeignKey(Connector, on_delete=models.PROTECT, related_name="ends")
    side = models.CharField(max_length=5, choices=Side.choices)
    count = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1)])

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["item", "connector", "side"],
                name="end_once",
                violation_error_message="This connector is listed already: raise its count.",
            ),
            models.CheckConstraint(condition=Q(count__gte=1), name="end_count_positive"),
        ]

    def __str__(self) -> str:
        return f"{self.side} {self.count} x {self.connector}"


class Loudspeaker(Item):
    """A loudspeaker type; its bands are `Way`s."""

    kind_of_class = Kind.LOUDSPEAKER
    tracking_of_class = Tracking.SERIAL

    class Role(models.TextChoices):
        TOP = "top"
        SUB = "sub"
        MONITOR = "monitor"
        FILL = "fill"
        LINE_ELEMENT = "line element"

    role = models.CharField(max_length=15, choices=Role.choices)
    width_m = quantity("width in m", 0.02, 5)
    height_m = quantity("height in m", 0.02, 5)
    depth_m = quantity("depth in m", 0.02, 5)

    class Meta:
        constraints = positive("width_m", "height_m", "depth_m")


class Way(Sheet):
    """One separately driven band of a loudspeaker. Terms as in IEC 60268-5."""

    class SensitivityBasis(models.TextChoices):
        ONE_WATT = "1 W", "1 W at 1 m"
        VOLTS = "2.83 V", "2.83 V at 1 m"

    loudspeaker = models.ForeignKey(Loudspeaker, on_delete=models.CASCADE, related_name="ways")
    order = models.PositiveSmallIntegerField(default=1)
    name = models.CharField(max_length=30)
    pole_pair = models.PositiveSmallIntegerField(
        default=1, help_text="Which pole pair of the connector feeds it."
    )
    rated_impedance_ohm = quantity("rated impedance in ohm", 1, 600)
    minimum_impedance_ohm = quantity("minimum impedance in ohm", 0.5, 600)
    noise_power_w = quantity("rated noise power in W", 0.1, 20000)
    peak_power_w = quantity("peak power in W", 0.1, 100000)
    sensitivity_db = quantity("sensitivity in dB", 60, 130)
    sensitivity_basis = models.CharField(
        max_length=6, choices=SensitivityBasis.choices, default=SensitivityBasis.ONE_WATT
    )
    low_hz = quantity("lowest frequency in Hz", 10, 20000)
    high_hz = quantity("highest frequency in Hz", 20, 40000)
    coverage_h_deg = quantity("horizontal coverage in degrees", 1, 360)
    coverage_v_deg = quantity("vertical coverage in degrees", 1, 360)

    class Meta:
        ordering = ["loudspeaker", "order"]
        constraints = [
            models.UniqueConstraint(
                fields=["loudspeaker", "name"],
                name="way_name_once",
                violation_error_message="This loudspeaker has a way of that name already.",
            ),
            models.CheckConstraint(
                condition=Q(low_hz__isnull=True)
                | Q(high_hz__isnull=True)
                | Q(low_hz__lt=F("high_hz")),
                name="way_band_upwards",
                violation_error_message="The lowest frequency must lie below the highest.",
            ),
            models.CheckConstraint(
                condition=Q(minimum_impedance_ohm__isnull=True)
                | Q(rated_impedance_ohm__isnull=True)
                | Q(minimum_impedance_ohm__lte=F("rated_impedance_ohm")),
                name="way_minimum_below_rated",
                violation_error_message="The minimum impedance can't be above the rated one.",
            ),
            *positive(
                "rated_impedance_ohm",
                "minimum_impedance_ohm",
                "noise_power_w",
                "peak_power_w",
                "coverage_h_deg",
                "coverage_v_deg",
            ),
        ]

    def __str__(self) -> str:
        return self.name


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
    sensitivity_v = quantity("input sensitivity in V", 0.05, 20)
    sensitivity_load_ohm = quantity("load of the sensitivity in ohm", 1, 100)
    damping_factor = quantity("damping factor re 8 ohm", 1, 100000)
    mains_v = quantity("mains voltage in V", 90, 420)
    idle_w = quantity("idle power in W", 0.1, 5000)
    eighth_power_w = quantity("mains power at 1/8 output in W", 1, 30000)
    power_factor = quantity("power factor", 0.1, 1)
    inrush_a = quantity("inrush current in A", 0.1, 1000)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(channels__gte=1) & Q(channels__lte=16), name="amplifier_channels"
            ),
            *positive("sensitivity_v", "damping_factor", "mains_v", "power_factor"),
        ]


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

    amplifier = models.ForeignKey(Amplifier, on_delete=models.CASCADE, related_name="ratings")
    mode = models.CharField(max_length=12, choices=Mode.choices)
    load_ohm = models.FloatField(
        validators=[MinValueValidator(0.5), MaxValueValidator(600, "More than 600 ohm?")]
    )
    power_w = quantity("power in W", 0.1, 50000)

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


class Cable(Item):
    """A cable of one length, for loudspeakers, signal or mains."""

    kind_of_class = Kind.CABLE
    tracking_of_class = Tracking.COUNT

    class Use(models.TextChoices):
        LOUDSPEAKER = "loudspeaker"
        SIGNAL = "signal"
        MAINS = "mains"

    class ConductorClass(models.TextChoices):
        SOLID_OR_STRANDED = "1/2", "IEC 60228 class 1 or 2"
        FLEXIBLE = "5", "IEC 60228 class 5"
        FLEXIBLE_TINNED = "5 tinned", "IEC 60228 class 5, tinned"
        UNKNOWN = "unknown", "unknown"

    use = models.CharField(max_length=15, choices=Use.choices)
    length_m = quantity("length in m", 0.05, 1000)
    area_mm2 = quantity("conductor area in mm2", 0.05, 400)
    conductor_class = models.CharField(
        max_length=10, choices=ConductorClass.choices, default=ConductorClass.UNKNOWN
    )
    pole_pairs = models.PositiveSmallIntegerField(
        default=1, validators=[MinValueValidator(1), MaxValueValidator(8)]
    )

    class Meta:
        constraints = positive("length_m", "area_mm2")


class Processor(Item):
    """A loudspeaker processor type."""

    kind_of_class = Kind.PROCESSOR
    tracking_of_class = Tracking.SERIAL

    inputs = models.PositiveSmallIntegerField(default=2, validators=[MinValueValidator(1)])
    outputs = models.PositiveSmallIntegerField(default=6, validators=[MinValueValidator(1)])
    max_output_dbu = quantity("maximum output in dBu", -10, 30)
    limiter_step_db = quantity("limiter step in dB", 0.01, 6)
    mains_w = quantity("mains power in W", 0.1, 1000)

    class Meta:
        constraints = positive("limiter_step_db", "mains_w")


class Accessory(Item):
    """Stands, poles, boxes, adaptors, microphones: anything else on the truck."""

    kind_of_class = Kind.ACCESSORY
    tracking_of_class = Tracking.COUNT

    carries_kg = quantity("carries in kg", 0.1, 5000, "For stands and poles: the marked limit.")

    class Meta:
        verbose_name_plural = "accessories"
        constraints = positive("carries_kg")
