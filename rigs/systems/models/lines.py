"""Drive lines: processor output, amplifier channel, cable runs, boxes."""

from typing import Any

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import IntegerRangeField, RangeOperators
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.backends.postgresql.psycopg_any import NumericRange
from django.db.models import Q

from rigs.catalogue.models import Cable, Mode, Way
from rigs.systems.models.base import PartOfRig, figure, once, within
from rigs.systems.models.choices import (
    CONTINUOUS,
    PROGRAMME,
    basis_reason,
    decided_by,
    programme_has_name_and_reason,
    reason_faults,
)
from rigs.systems.models.parts import AmplifierPlace, Placement, ProcessorPlace


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
    attack_ms = figure("limiter attack in ms", 0.01, 1000, "Empty: by the lowest frequency.")
    release_ms = figure("limiter release in ms", 0.1, 10_000, "Empty: by the lowest frequency.")
    limiter_basis = models.CharField(
        "limiter stands on",
        max_length=10,
        blank=True,
        choices=[
            ("", "the house's choice"),
            (CONTINUOUS, "continuous rating"),
            (PROGRAMME, "programme rating"),
        ],
    )
    limiter_basis_by = decided_by()
    limiter_basis_reason = basis_reason()
    nearest_listener_m = figure(
        "nearest listener in m", 0.1, 1000, "From its boxes. Empty: from the audience areas."
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
            within("attack_ms", 0.01, 1000, "attack_believable"),
            within("release_ms", 0.1, 10_000, "release_believable"),
            within("nearest_listener_m", 0.1, 1000, "nearest_listener_believable"),
            programme_has_name_and_reason("line_programme_has_name_and_reason"),
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
        faults |= reason_faults(self.limiter_basis, self.limiter_basis_reason)
        if faults:
            raise ValidationError(faults)

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.set_channels()
        super().save(*args, **kwargs)


class Link(models.Model):
    """A box on a drive line and the cable that leads to it.

    The cable starts at the box before, or at the amplifier (`from_amplifier`). With
    `series_with_previous` it lies between the two boxes and the same current flows through both.
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
    series_with_previous = models.BooleanField("in series with the box before", default=False)

    class Meta:
        ordering = ["line", "order"]
        constraints = [
            models.CheckConstraint(
                condition=Q(series_with_previous=False) | Q(from_amplifier=False, order__gt=1),
                name="series_needs_a_box_before",
                violation_error_message="A box in series needs a box before it.",
            ),
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
