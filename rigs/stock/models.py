"""What the company owns: serialised units, racks, and counted pieces."""

from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Q

from rigs.catalogue.models import Item, Tracking


class Rack(models.Model):
    """A case with amplifiers and processors wired for the road."""

    name = models.CharField(max_length=40, unique=True)
    mass_empty_kg = models.FloatField(null=True, blank=True)
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(mass_empty_kg__isnull=True) | Q(mass_empty_kg__gt=0),
                name="rack_mass_positive",
                violation_error_message="Mass must be above zero.",
            )
        ]

    def __str__(self) -> str:
        return self.name


class Unit(models.Model):
    """One piece with its own serial. `set aside` units are not offered to any event."""

    class State(models.TextChoices):
        READY = "ready"
        SET_ASIDE = "set aside"
        GONE = "gone"

    item = models.ForeignKey(
        Item,
        on_delete=models.PROTECT,
        related_name="units",
        limit_choices_to={"tracking": Tracking.SERIAL},
    )
    serial = models.CharField(max_length=40, unique=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.READY)
    fault = models.CharField(max_length=200, blank=True)
    rack = models.ForeignKey(
        Rack, on_delete=models.SET_NULL, null=True, blank=True, related_name="units"
    )
    rack_position = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MaxValueValidator(60)]
    )

    class Meta:
        ordering = ["item", "serial"]
        permissions = [("keep_stock", "Can keep the stock")]
        constraints = [
            models.UniqueConstraint(
                fields=["rack", "rack_position"],
                name="rack_position_once",
                violation_error_message="Another unit sits at this place in the rack.",
            ),
            models.CheckConstraint(
                condition=~Q(state="set aside") | ~Q(fault=""),
                name="set_aside_has_reason",
                violation_error_message="Say why the unit is set aside.",
            ),
        ]

    def __str__(self) -> str:
        return self.serial


class Count(models.Model):
    """How many pieces of a counted item there are, and how many of them can't go out."""

    item = models.OneToOneField(
        Item,
        on_delete=models.PROTECT,
        related_name="count",
        limit_choices_to={"tracking": Tracking.COUNT},
    )
    owned = models.PositiveIntegerField(default=0, validators=[MaxValueValidator(100000)])
    set_aside = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["item"]
        constraints = [
            models.CheckConstraint(
                condition=Q(set_aside__lte=models.F("owned")),
                name="set_aside_within_owned",
                violation_error_message="More pieces are set aside than are owned.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.usable} x {self.item}"

    @property
    def usable(self) -> int:
        """How many can be promised at the same time."""
        return self.owned - self.set_aside
