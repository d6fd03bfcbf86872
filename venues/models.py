"""Where events happen: venues and their spaces, and what belongs to a space.

Axes of a space, in metres: seen from above, y points away from the stage into the audience,
x to the right of someone who looks along y, z up from the floor in front of the stage.
"""

from zoneinfo import available_timezones

from django.contrib.postgres.fields import ArrayField
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from venues.octaves import OCTAVES, octaves_fault
from venues.polygons import polygon_fault

METRES = [
    MinValueValidator(-1000, "Further than 1000 m away?"),
    MaxValueValidator(1000, "Further than 1000 m away?"),
]


def octaves(label: str, help_text: str) -> ArrayField:
    """Seven values for the octaves 125 Hz to 8 kHz, each of which may be unknown; or none."""
    return ArrayField(
        models.FloatField(null=True, blank=True),
        verbose_name=label,
        default=list,
        blank=True,
        help_text=help_text,
    )


def all_between(field: str, low: float, high: float, name: str) -> list[models.CheckConstraint]:
    """Database checks: seven values or none, and all the known ones within a range.

    `ALL` over an array with unknown (null) values is unknown at worst, which a check lets pass.
    """
    within = models.Func(
        models.F(field),
        template=f"({low} <= ALL (%(expressions)s)) IS NOT FALSE "
        f"AND ({high} >= ALL (%(expressions)s)) IS NOT FALSE",
        output_field=models.BooleanField(),
    )
    return [
        models.CheckConstraint(
            condition=Q(**{f"{field}__len__in": [0, len(OCTAVES)]}), name=f"{name}_seven"
        ),
        models.CheckConstraint(condition=within, name=f"{name}_believable"),
    ]


def validate_zone(value: str) -> None:
    """Accept only names of the time zone database."""
    if value not in available_timezones():
        raise ValidationError(f"{value} is not a time zone (one is Europe/Lisbon).")


class Venue(models.Model):
    name = models.CharField(max_length=80, unique=True)
    town = models.CharField(max_length=80, blank=True)
    zone = models.CharField("time zone", max_length=40, default="UTC", validators=[validate_zone])
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["name"]
        permissions = [("keep_venues", "Can keep venues")]

    def __str__(self) -> str:
        return self.name


class Space(models.Model):
    """A hall, a field, a room: one set of axes."""

    venue = models.ForeignKey(Venue, on_delete=models.CASCADE, related_name="spaces")
    name = models.CharField(max_length=80)
    indoors = models.BooleanField(default=True)
    volume_m3 = models.FloatField(
        null=True,
        blank=True,
        validators=[MinValueValidator(10), MaxValueValidator(5_000_000)],
    )
    decay_s = octaves(
        "decay time in s", "Measured, for a fall of 60 dB. Leave empty what is unknown."
    )
    noise_db = octaves(
        "noise in dB", "Of the room with people and machines, no music. Leave empty if unknown."
    )

    class Meta:
        ordering = ["venue", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["venue", "name"],
                name="space_name_once",
                violation_error_message="This venue has a space of that name already.",
            ),
            *all_between("decay_s", 0.05, 30, "space_decay"),
            *all_between("noise_db", -20, 130, "space_noise"),
        ]

    def __str__(self) -> str:
        return f"{self.venue}, {self.name}"

    def clean(self) -> None:
        super().clean()
        faults = {
            "decay_s": octaves_fault(self.decay_s, 0.05, 30, "s"),
            "noise_db": octaves_fault(self.noise_db, -20, 130, "dB"),
        }
        if any(faults.values()):
            raise ValidationError({name: fault for name, fault in faults.items() if fault})


class RoomSurface(models.Model):
    """A surface of a room with its absorption (0 to 1) in the octaves 125 Hz to 8 kHz."""

    space = models.ForeignKey(Space, on_delete=models.CASCADE, related_name="surfaces")
    name = models.CharField(max_length=60)
    area_m2 = models.FloatField(
        "area in m²",
        null=True,
        blank=True,
        validators=[
            MinValueValidator(0.01, "An area below 0.01 m² is not believable."),
            MaxValueValidator(1_000_000, "An area above a million m² is not believable."),
        ],
    )
    absorption = octaves("absorption", "From 0 to 1. Leave empty what is unknown.")

    class Meta:
        ordering = ["space", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["space", "name"],
                name="surface_name_once",
                violation_error_message="This space has a surface of that name already.",
            ),
            models.CheckConstraint(
                condition=Q(area_m2__isnull=True) | Q(area_m2__gt=0),
                name="surface_area_positive",
                violation_error_message="The area must be above zero.",
            ),
            *all_between("absorption", 0, 1, "surface_absorption"),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        super().clean()
        fault = octaves_fault(self.absorption, 0, 1, "")
        if fault:
            raise ValidationError({"absorption": fault})


class AudienceArea(models.Model):
    """Where people listen: a plane over a polygon drawn from above.

    A balcony is an area with a high floor and a rake.
    """

    class Kind(models.TextChoices):
        AUDIENCE = "audience"
        STAGE = "stage"

    space = models.ForeignKey(Space, on_delete=models.CASCADE, related_name="areas")
    name = models.CharField(max_length=60)
    kind = models.CharField(
        max_length=10,
        choices=Kind.choices,
        default=Kind.AUDIENCE,
        help_text="A stage is drawn and told, but counts neither for evenness nor as audience.",
    )
    corners = models.JSONField(help_text="Corners in order, each [x, y] in metres.")
    floor_z_m = models.FloatField(
        "floor height in m",
        default=0,
        validators=[MinValueValidator(-100), MaxValueValidator(300)],
    )
    ear_height_m = models.FloatField(
        "ear height in m",
        default=1.6,
        validators=[
            MinValueValidator(0.3, "Ears below 0.3 m?"),
            MaxValueValidator(3, "Ears above 3 m?"),
        ],
    )
    rake_deg = models.FloatField(
        default=0,
        validators=[
            MinValueValidator(0, "Give the rake as 0 or more, and its direction apart."),
            MaxValueValidator(60, "Nobody sits on a rake above 60 degrees."),
        ],
    )
    rake_azimuth_deg = models.FloatField(
        "rake rises towards",
        default=0,
        validators=[MinValueValidator(-180), MaxValueValidator(360)],
        help_text="Degrees clockwise from the y axis; 0 rises away from the stage.",
    )

    class Meta:
        ordering = ["space", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["space", "name"],
                name="area_name_once",
                violation_error_message="This space has an area of that name already.",
            ),
            models.CheckConstraint(
                condition=Q(ear_height_m__gt=0) & Q(rake_deg__gte=0) & Q(rake_deg__lte=60),
                name="area_believable",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=["audience", "stage"]), name="area_kind_known"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        super().clean()
        fault = polygon_fault(self.corners)
        if fault:
            raise ValidationError({"corners": fault})


class ListeningPlace(models.Model):
    """One pair of ears whose exposure counts: a crew member's place, the front row's middle."""

    class Kind(models.TextChoices):
        CREW = "crew"
        FRONT_ROW = "front row"

    space = models.ForeignKey(Space, on_delete=models.CASCADE, related_name="places")
    name = models.CharField(max_length=60)
    kind = models.CharField(max_length=10, choices=Kind.choices, default=Kind.CREW)
    x_m = models.FloatField("x in m", validators=METRES)
    y_m = models.FloatField("y in m", validators=METRES)
    z_m = models.FloatField(
        "ear height in m",
        default=1.6,
        validators=METRES,
        help_text="Height of the ears over the floor in front of the stage.",
    )
    hours = models.FloatField(
        "hours there",
        null=True,
        blank=True,
        validators=[
            MinValueValidator(0.1, "Less than 0.1 hours is not believable."),
            MaxValueValidator(24, "More than 24 hours is not believable."),
        ],
        help_text="At the show's level, in a day. Leave empty: the show's own hours count.",
    )

    class Meta:
        ordering = ["space", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["space", "name"],
                name="place_name_once",
                violation_error_message="This space has a place of that name already.",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=["crew", "front row"]), name="place_kind_known"
            ),
            models.CheckConstraint(
                condition=Q(hours__isnull=True) | Q(hours__gt=0, hours__lte=24),
                name="place_hours_believable",
                violation_error_message="Hours lie between 0.1 and 24.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Supply(models.Model):
    """Mains at the venue, or a generator."""

    space = models.ForeignKey(Space, on_delete=models.CASCADE, related_name="supplies")
    name = models.CharField(max_length=60)
    phases = models.PositiveSmallIntegerField(choices=[(1, "single phase"), (3, "three phase")])
    amps_per_phase = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(3000)]
    )
    voltage_v = models.FloatField(
        "voltage to neutral in V",
        null=True,
        blank=True,
        validators=[MinValueValidator(90), MaxValueValidator(300)],
    )
    generator = models.BooleanField(default=False)

    class Meta:
        ordering = ["space", "name"]
        verbose_name_plural = "supplies"
        constraints = [
            models.UniqueConstraint(
                fields=["space", "name"],
                name="supply_name_once",
                violation_error_message="This space has a supply of that name already.",
            ),
            models.CheckConstraint(condition=Q(phases__in=[1, 3]), name="supply_phases"),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        super().clean()
        if self.pk is None or not self.phases:
            return
        beyond = self.circuits.filter(phase__gt=self.phases).first()
        if beyond:
            raise ValidationError(
                {"phases": f"Circuit {beyond} hangs on L{beyond.phase}: change that one first."}
            )


class Circuit(models.Model):
    """A socket of a supply with its own breaker, on one phase."""

    space = models.ForeignKey(Space, on_delete=models.CASCADE, related_name="circuits")
    supply = models.ForeignKey(Supply, on_delete=models.CASCADE, related_name="circuits")
    name = models.CharField(max_length=60)
    phase = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        choices=[(1, "L1"), (2, "L2"), (3, "L3")],
        help_text="Leave empty if nobody knows which phase it hangs on.",
    )
    breaker_a = models.FloatField(
        "breaker in A",
        null=True,
        blank=True,
        validators=[
            MinValueValidator(0.5, "A breaker below 0.5 A is not believable."),
            MaxValueValidator(3000, "A breaker above 3000 A is not believable."),
        ],
    )

    class Meta:
        ordering = ["space", "supply", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["space", "name"],
                name="circuit_name_once",
                violation_error_message="This space has a circuit of that name already.",
            ),
            models.CheckConstraint(
                condition=Q(phase__isnull=True) | Q(phase__gte=1, phase__lte=3),
                name="circuit_phase",
            ),
            models.CheckConstraint(
                condition=Q(breaker_a__isnull=True) | Q(breaker_a__gt=0),
                name="circuit_breaker_positive",
                violation_error_message="The breaker must be above zero.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        super().clean()
        if self.supply_id is None:
            return
        if self.supply.space_id != self.space_id:
            raise ValidationError({"supply": f"{self.supply} is not in {self.space}."})
        if self.phase and self.phase > self.supply.phases:
            raise ValidationError(
                {"phase": f"{self.supply} has a single phase; there is no L{self.phase} on it."}
            )


class HangPoint(models.Model):
    """A point marked by the venue with its limit. Rigwright approves no rigging."""

    space = models.ForeignKey(Space, on_delete=models.CASCADE, related_name="hang_points")
    name = models.CharField(max_length=40)
    x_m = models.FloatField("x in m", validators=METRES)
    y_m = models.FloatField("y in m", validators=METRES)
    z_m = models.FloatField("height in m", validators=METRES)
    limit_kg = models.FloatField(
        "limit in kg",
        null=True,
        blank=True,
        validators=[
            MinValueValidator(1, "A limit below 1 kg is not believable."),
            MaxValueValidator(20_000, "A limit above 20 000 kg is not believable."),
        ],
    )

    class Meta:
        ordering = ["space", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["space", "name"],
                name="hang_point_name_once",
                violation_error_message="This space has a hang point of that name already.",
            )
        ]

    def __str__(self) -> str:
        return self.name
