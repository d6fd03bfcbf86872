"""Cables, mixers, and whatever else goes on the truck."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from rigs.catalogue.models.items import Item, Kind, Tracking
from rigs.catalogue.models.sheets import positive, quantity


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


class Mixer(Item):
    """A mixer type: what feeds the processors."""

    kind_of_class = Kind.MIXER
    tracking_of_class = Tracking.SERIAL

    max_output_dbu = quantity("maximum output in dBu", -10, 40)
    output_noise_dbu = quantity("output noise in dBu", -130, 10)


class Accessory(Item):
    """Stands, poles, boxes, adaptors, microphones: anything else on the truck."""

    kind_of_class = Kind.ACCESSORY
    tracking_of_class = Tracking.COUNT

    carries_kg = quantity("carries in kg", 0.1, 5000, "For stands and poles: the marked limit.")

    class Meta:
        verbose_name_plural = "accessories"
        constraints = positive("carries_kg")
