"""How racks hang on the mains."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from rigs.catalogue.models import Cable
from rigs.systems.models.base import InRig, figure, within
from rigs.systems.models.parts import AmplifierPlace
from venues.models import Circuit, Supply


class RackFeed(InRig):
    """The mains cable to a rack, or to an amplifier that travels in none."""

    rack = models.CharField(max_length=40, blank=True)
    amplifier_place = models.ForeignKey(
        AmplifierPlace, on_delete=models.CASCADE, null=True, blank=True, related_name="feeds"
    )
    supply = models.ForeignKey(Supply, on_delete=models.CASCADE, related_name="feeds")
    circuit = models.ForeignKey(
        Circuit, on_delete=models.SET_NULL, null=True, blank=True, related_name="feeds"
    )
    phase = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(3)],
        help_text="Empty: not plugged yet, the plan chooses.",
    )
    cable = models.ForeignKey(
        Cable,
        verbose_name="mains cable",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="feeds",
    )
    length_m = figure("length in m", 0.1, 2000, "Only without a cable from the catalogue.")
    area_mm2 = figure("conductor area in mm²", 0.5, 400, "Only without a cable from the catalogue.")

    class Meta:
        ordering = ["event", "rack", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(amplifier_place__isnull=True) & ~Q(rack="")
                | Q(amplifier_place__isnull=False, rack=""),
                name="feed_of_a_rack_or_an_amplifier",
                violation_error_message="Say which rack, or which amplifier by itself.",
            ),
            models.UniqueConstraint(
                fields=["event", "rack"],
                condition=~Q(rack=""),
                name="rack_fed_once",
                violation_error_message="This rack has its mains cable already.",
            ),
            models.UniqueConstraint(
                fields=["amplifier_place"],
                name="amplifier_fed_once",
                violation_error_message="This amplifier has its mains cable already.",
            ),
            models.CheckConstraint(
                condition=Q(cable__isnull=True) | Q(length_m__isnull=True, area_mm2__isnull=True),
                name="cable_or_figures",
                violation_error_message="Choose a cable, or type length and area; not both.",
            ),
            models.CheckConstraint(
                condition=Q(phase__isnull=True) | Q(phase__gte=1, phase__lte=3),
                name="feed_phase",
            ),
            within("length_m", 0.1, 2000, "feed_length_believable"),
            within("area_mm2", 0.5, 400, "feed_area_believable"),
        ]

    def __str__(self) -> str:
        return self.load

    @property
    def load(self) -> str:
        """The name of what it feeds."""
        return self.rack or str(self.amplifier_place)

    def clean(self) -> None:
        super().clean()
        faults: dict[str, str] = {}
        if not self.supply_id:
            return
        if self.supply.space_id != self.event.space_id:
            faults["supply"] = f"{self.supply} is not in {self.event.space}."
        elif self.phase and self.phase > self.supply.phases:
            faults["phase"] = f"{self.supply} has one phase only; there is no phase {self.phase}."
        elif self.circuit:
            faults |= self._circuit_faults(self.circuit)
        if self.amplifier_place and self.amplifier_place.rack:
            faults["amplifier_place"] = (
                f"{self.amplifier_place} travels in {self.amplifier_place.rack}: feed the rack."
            )
        if self.cable and self.cable.use != Cable.Use.MAINS:
            faults["cable"] = f"{self.cable} is no mains cable."
        if faults:
            raise ValidationError(faults)

    def _circuit_faults(self, circuit: Circuit) -> dict[str, str]:
        if circuit.space_id != self.event.space_id:
            return {"circuit": f"{circuit} is not in {self.event.space}."}
        if circuit.supply_id != self.supply_id:
            return {"circuit": f"{circuit} hangs on {circuit.supply}, not on {self.supply}."}
        if circuit.phase and self.phase and circuit.phase != self.phase:
            return {"phase": f"{circuit} is on phase {circuit.phase}, not on {self.phase}."}
        return {}
