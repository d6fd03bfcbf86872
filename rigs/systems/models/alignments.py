"""Listening spots, what was measured there, and which lines shall run together."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from rigs.systems.models.base import InRig, PartOfRig, figure, once, within
from rigs.systems.models.lines import DriveLine
from rigs.systems.models.parts import METRES


class ListeningSpot(PartOfRig):
    """Where somebody listens or a measuring microphone stands, in the axes of the space."""

    class Kind(models.TextChoices):
        STANDING = "standing"
        SEATED = "seated"
        ON_THE_FLOOR = "on the floor"

    x_m = models.FloatField("x in m", default=0, validators=METRES)
    y_m = models.FloatField("y in m", default=8, validators=METRES)
    z_m = models.FloatField(
        "height in m",
        default=1.6,
        validators=[
            MinValueValidator(-50, "Deeper than 50 m below the floor?"),
            MaxValueValidator(200, "Higher than 200 m?"),
        ],
    )
    kind = models.CharField(max_length=12, choices=Kind.choices, default=Kind.STANDING)
    weight = models.FloatField(
        default=1,
        validators=[
            MinValueValidator(0.1, "Less than 0.1 counts for nothing: remove the spot instead."),
            MaxValueValidator(10, "More than 10 leaves nothing to the other spots."),
        ],
    )

    class Meta(PartOfRig.Meta):
        constraints = [
            once("spot_once", "This event has a listening spot of that name already."),
            within("weight", 0.1, 10, "spot_weight_counts"),
        ]


class MeasuredResponse(InRig):
    """What arrived at a spot from one line, as a file gave it; read by `calc` as it stands."""

    line = models.ForeignKey(DriveLine, on_delete=models.CASCADE, related_name="measured")
    spot = models.ForeignKey(ListeningSpot, on_delete=models.CASCADE, related_name="measured")
    curve = models.JSONField(
        editable=False, help_text="Lists frequency_hz, level_db, phase_deg of equal length."
    )
    removed_ms = models.FloatField(
        "time taken off in ms",
        default=0,
        validators=[MinValueValidator(0), MaxValueValidator(2000)],
        help_text="The delay that the measuring programme took out of the phase.",
    )

    class Meta:
        ordering = ["event", "line", "spot"]
        constraints = [
            models.UniqueConstraint(
                fields=["line", "spot"],
                name="measured_once",
                violation_error_message="This line has a measured response at this spot already.",
            ),
            within("removed_ms", 0, 2000, "removed_time_believable"),
        ]

    def __str__(self) -> str:
        return f"{self.line} at {self.spot}"


class Alignment(PartOfRig):
    """Two sets of lines that shall run together at a spot: see `calc.system.Alignment`."""

    class Kind(models.TextChoices):
        SUB_TO_TOP = "sub to top"
        FILL_OR_TOWER = "fill or tower"

    kind = models.CharField(max_length=14, choices=Kind.choices)
    moved = models.ManyToManyField(DriveLine, related_name="+", verbose_name="lines to delay")
    reference = models.ManyToManyField(
        DriveLine, related_name="+", verbose_name="lines that they shall meet"
    )
    spot = models.ForeignKey(ListeningSpot, on_delete=models.PROTECT, related_name="alignments")
    offset_ms = models.FloatField(
        "later by, in ms",
        default=0,
        validators=[
            MinValueValidator(0, "The delayed boxes can't be made to come first here."),
            MaxValueValidator(100, "More than 100 ms is an echo."),
        ],
        help_text="So that the sound seems to come from the stage: 5 to 15 ms is common practice.",
    )
    set_temperature_c = figure(
        "temperature when it is set, in °C", -30, 55, "Empty: the event's own."
    )

    class Meta(PartOfRig.Meta):
        constraints = [
            once("alignment_once", "This event has an alignment of that name already."),
            models.CheckConstraint(
                condition=Q(offset_ms__gte=0, offset_ms__lte=100), name="offset_believable"
            ),
            within("set_temperature_c", -30, 55, "set_temperature_believable"),
        ]
