"""What every part of a rig has in common."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from rigs.events.models import Event
from rigs.versions import Versioned


class InRig(Versioned):
    """A row that belongs to one event's rig."""

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="%(class)ss")

    class Meta:
        abstract = True


class PartOfRig(InRig):
    """Something with a name of its own within one event's rig."""

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


def figure(label: str, low: float, high: float, help_text: str = "") -> models.FloatField:
    """A number that may be left open, with the range in which it is believable."""
    start = label[0].upper() + label[1:]
    return models.FloatField(
        label,
        null=True,
        blank=True,
        help_text=help_text,
        validators=[
            MinValueValidator(low, f"{start} must be at least {low:g}."),
            MaxValueValidator(high, f"{start} above {high:g} is not believable."),
        ],
    )


def within(name: str, low: float, high: float, constraint: str) -> models.CheckConstraint:
    """The database's own check of a figure that may be left open."""
    inside = Q(**{f"{name}__gte": low, f"{name}__lte": high})
    return models.CheckConstraint(
        condition=Q(**{f"{name}__isnull": True}) | inside,
        name=constraint,
        violation_error_message=f"This must lie between {low:g} and {high:g}.",
    )
