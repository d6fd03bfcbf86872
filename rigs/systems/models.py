"""The rig of an event: what stands where, driven by what."""

from typing import Any

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import IntegerRangeField, RangeOperators
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.backends.postgresql.psycopg_any import NumericRange
from django.db.models import Q

from rigs.catalogue.models import Amplifier, Cable, Loudspeaker, Mode, Processor, Way
from rigs.events.models import Event
from rigs.stock.models import Unit
from rigs.versions import Versioned

METRES = [
    MinValueValidator(-1000, "Further than 1000 m away?"),
    MaxValueValidator(1000, "Further than 1000 m away?"),
]


class PartOfRig(Versioned):
    """Something with a name of its own within one event's rig."""

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="%(class)ss")
    name = models.CharField(max_length=40)

    class Meta:
        abstract = True
        ordering = ["event", "name"]

    def __str__(self) -> str:
        return self.name


def once(name: str, sentence: str) -> models.UniqueConstraint:
    """A name may stand once in an event."""
    return models.UniqueConstraint(
        fields=["event", "name"], name=name, violation_error_message=sentence
    )


class AmplifierPlace(PartOfRig):
    """An amplifier that travels to the event; the unit may be chosen later."""

    rack = models.CharField(max_length=40, blank=True)
    amplifier = models.ForeignKey(Amplifier, on_delete=models.PROTECT, related_name="places")
    unit = models.ForeignKey(
        Unit, on_delete=models.PROTECT, null=True, blank=True, related_name="amplifier_places"
    )

    class Meta(PartOfRig.Meta):
        ordering = ["event", "rack", "name"]
        permissions = [
            ("describe_rig", "Can describe rigs"),
            ("see_loading", "Can see amplifier loading"),
        ]
        constraints = [
            once("amplifier_place_once", "This event has an amplifier of that name already."),
            models.UniqueConstraint(
                fields=["event", "unit"],
                name="amplifier_unit_once",
                violation_error_message="This unit has another place in the rig already.",
            ),
        ]

    def clean(self) -> None:
        super().clean()
        if self.unit and self.unit.item_id != self.amplifier_id:
            raise ValidationError({"unit": f"{self.unit} is not a {self.amplifier}."})


class ProcessorPlace(PartOfRig):
    """A processor that travels to the event."""

    processor = models.ForeignKey(Processor, on_delete=models.PROTECT, related_name="places")
    unit = models.ForeignKey(
        Unit, on_delete=models.PROTECT, null=True, blank=True, related_name="processor_places"
    )

    class Meta(PartOfRig.Meta):
        constraints = [
            once("processor_place_once", "This event has a processor of that name already."),
            models.UniqueConstraint(
                fields=["event", "unit"],
                name="processor_unit_once",
                violation_error_message="This unit has another place in the rig already.",
            ),
        ]

    def clean(self) -> None:
        super().clean()
        if self.unit and self.unit.item_id != self.processor_id:
            raise ValidationError({"unit": f"{self.unit} is not a {self.processor}."})


class Placement(PartOfRig):
    """One loudspeaker at a position with an aim, in the axes of the event's space."""

    loudspeaker = models.ForeignKey(Loudspeaker, on_delete=models.PROTECT, related_name="places")
    unit = models.ForeignKey(
        Unit, on_delete=models.PROTECT, null=True, blank=True, related_name="placements"
    )
    x_m = models.FloatField("x in m", default=0, validators=METRES)
    y_m = models.FloatField("y in m", default=0, validators=METRES)
    z_m = models.FloatField(
        "height in m",
        default=1.5,
        validators=[
            MinValueValidator(-50, "Deeper than 50 m below the floor?"),
            MaxValueValidator(200, "Higher than 200 m?"),
        ],
    )
    azimuth_deg = models.FloatField(
        "azimuth in degrees",
        default=0,
        validators=[MinValueValidator(-180), MaxValueValidator(360)],
        help_text="0 looks away from the stage, clockwise seen from above.",
    )
    tilt_deg = models.FloatField(
        "tilt in degrees",
        default=0,
        validators=[MinValueValidator(-90), MaxValueValidator(90)],
        help_text="Negative looks down.",
    )

    class Meta(PartOfRig.Meta):
        constraints = [
            once("placement_once", "This event has a placement of that name already."),
            models.UniqueConstraint(
                fields=["event", "unit"],
                name="placement_unit_once",
                violation_error_message="This unit stands elsewhere in the rig already.",
            ),
        ]

    def clean(self) -> None:
        super().clean()
        if self.unit and self.unit.item_id != self.loudspeaker_id:
            raise ValidationError({"unit": f"{self.unit} is not a {self.loudspeaker}."})


class DriveLine(PartOfRig):
    """Processor output -> amplifier channel -> cable runs -> loudspeakers in parallel."""

    processor_place = models.ForeignKey(
        ProcessorPlace, on_delete=models.PROTECT, null=True, blank=True, related_name="lines"
    )
    output = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    amplifier_place = models.ForeignKey(
        AmplifierPlace, on_delete=models.PROTECT, related_name="lines"
    )
    first_channel = models.PositiveSmallIntegerField(
        "channel", default=1, validators=[MinValueValidator(1)]
    )
    mode = models.CharField(max_length=12, choices=Mode.choices, default=Mode.PER_CHANNEL)
    channels = IntegerRangeField(editable=False)
    level_control_db = models.FloatField(
        "level control in dB",
        default=0,
        validators=[
            MinValueValidator(-60, "Below -60 dB is off."),
            MaxValueValidator(0, "0 is fully up; turned down is a negative number."),
        ],
    )

    class Meta(PartOfRig.Meta):
        constraints = [
            once("drive_line_once", "This event has a drive line of that name already."),
            ExclusionConstraint(
                name="channel_used_once",
                expressions=[
                    ("amplifier_place", RangeOperators.EQUAL),
                    ("channels", RangeOperators.OVERLAPS),
                ],
                violation_error_message="Another drive line uses this amplifier channel already.",
            ),
            models.CheckConstraint(
                condition=Q(level_control_db__lte=0) & Q(level_control_db__gte=-60),
                name="level_control_believable",
            ),
        ]

    @property
    def width(self) -> int:
        """How many amplifier channels the line takes."""
        return 1 if self.mode == Mode.PER_CHANNEL else 2

    def set_channels(self) -> None:
        """Keep the range that the database compares in step with channel and mode."""
        first = self.first_channel or 1
        self.channels = NumericRange(first, first + self.width, "[)")

    def clean(self) -> None:
        super().clean()
        self.set_channels()
        faults = {}
        if self.amplifier_place_id and self.first_channel:
            have = self.amplifier_place.amplifier.channels
            last = self.first_channel + self.width - 1
            if last > have:
                faults["first_channel"] = (
                    f"{self.amplifier_place.amplifier} has {have} channels; this line would "
                    f"need channel {last}."
                )
            elif self.width == 2 and self.first_channel % 2 == 0:
                faults["first_channel"] = "A pair starts at an odd channel: 1 and 2, 3 and 4."
        if self.processor_place and self.output:
            have = self.processor_place.processor.outputs
            if self.output > have:
                faults["output"] = f"{self.processor_place.processor} has {have} outputs."
        if self.output and not self.processor_place_id:
            faults["processor_place"] = "Say which processor this output belongs to."
        if faults:
            raise ValidationError(faults)

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.set_channels()
        super().save(*args, **kwargs)


class Link(models.Model):
    """A box on a drive line and the cable that leads to it.

    The cable starts at the box before, or at the amplifier (`from_amplifier`).
    """

    line = models.ForeignKey(DriveLine, on_delete=models.CASCADE, related_name="links")
    order = models.PositiveSmallIntegerField()
    placement = models.ForeignKey(Placement, on_delete=models.CASCADE, related_name="links")
    way = models.ForeignKey(Way, on_delete=models.PROTECT, related_name="links")
    cable = models.ForeignKey(
        Cable, on_delete=models.PROTECT, null=True, blank=True, related_name="links"
    )
    pieces = models.PositiveSmallIntegerField(
        "pieces in a row", default=1, validators=[MinValueValidator(1), MaxValueValidator(20)]
    )
    from_amplifier = models.BooleanField("starts at the amplifier", default=False)

    class Meta:
        ordering = ["line", "order"]
        constraints = [
            models.UniqueConstraint(
                fields=["line", "order"],
                name="link_order_once",
                deferrable=models.Deferrable.DEFERRED,
            ),
            models.UniqueConstraint(
                fields=["placement", "way"],
                name="way_driven_once",
                violation_error_message="Another drive line drives this way of this box already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.placement} {self.way}"

    def clean(self) -> None:
        super().clean()
        if not (self.way_id and self.placement_id):
            return
        if self.way.loudspeaker_id != self.placement.loudspeaker_id:
            raise ValidationError(
                {"way": f"{self.placement.loudspeaker} has no way called {self.way}."}
            )
