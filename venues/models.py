"""Where events happen: venues, their spaces, audience areas, supplies, circuits and hang points.

Axes of a space, in metres: seen from above, y points away from the stage into the audience,
x to the right of someone who looks along y, z up from the floor in front of the stage.
"""

from zoneinfo import available_timezones

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from venues.polygons import polygon_fault

METRES = [
    MinValueValidator(-1000, "Further than 1000 m away?"),
    MaxValueValidator(1000, "Further than 1000 m away?"),
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
    decay_time_s = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0.05), MaxValueValidator(20)]
    )

    class Meta:
        ordering = ["venue", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["venue", "name"],
                name="space_name_once",
                violation_error_message="This venue has a space of that name already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.venue}, {self.name}"


class AudienceArea(models.Model):
    """Where people listen: a plane over a polygon drawn from above."""

    space = models.ForeignKey(Space, on_delete=models.CASCADE, related_name="areas")
    name = models.CharField(max_length=60)
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
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        super().clean()
        fault = polygon_fault(self.corners)
        if fault:
            raise ValidationError({"corners": fault})


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
