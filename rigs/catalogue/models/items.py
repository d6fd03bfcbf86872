"""What all things in the catalogue share, and how they connect."""

from datetime import timedelta
from typing import Any

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from rigs.catalogue.models.sheets import Sheet, quantity
from rigs.versions import Versioned


class Kind(models.TextChoices):
    LOUDSPEAKER = "loudspeaker"
    AMPLIFIER = "amplifier"
    CABLE = "cable"
    PROCESSOR = "processor"
    MIXER = "mixer"
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
