"""What bears loads: hang points, stands, trucks. Sums only; it approves no rigging."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from rigs.catalogue.models import Accessory
from rigs.systems.models.base import InRig, PartOfRig, figure, once, within
from venues.models import HangPoint


class Support(PartOfRig):
    """A hang point of the venue, a stand or a truck, with the limit that is marked on it."""

    class Kind(models.TextChoices):
        HANG_POINT = "hang point"
        STAND = "stand"
        TRUCK = "truck"

    kind = models.CharField(max_length=10, choices=[(k.value, k.value) for k in Kind])
    hang_point = models.ForeignKey(
        HangPoint, on_delete=models.SET_NULL, null=True, blank=True, related_name="supports"
    )
    accessory = models.ForeignKey(
        Accessory,
        verbose_name="type of stand",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="supports",
    )
    limit_kg = figure("marked limit in kg", 0.1, 100_000)
    carries_kit = models.BooleanField("carries the whole kit list", default=False)

    class Meta(PartOfRig.Meta):
        constraints = [
            once("support_once", "This event has a support of that name already."),
            models.UniqueConstraint(
                fields=["event", "hang_point"],
                name="hang_point_once",
                violation_error_message="This hang point is in the rig already.",
            ),
            models.UniqueConstraint(
                fields=["event"],
                condition=Q(carries_kit=True),
                name="kit_on_one_truck",
                violation_error_message="Another truck carries the whole kit list already.",
            ),
            models.CheckConstraint(
                condition=Q(kind="hang point") | Q(hang_point__isnull=True),
                name="only_hang_points_hang",
                violation_error_message="Only a hang point is one of the venue's hang points.",
            ),
            models.CheckConstraint(
                condition=Q(kind="stand") | Q(accessory__isnull=True),
                name="only_stands_have_a_type",
                violation_error_message="Only a stand has a type of stand.",
            ),
            models.CheckConstraint(
                condition=Q(kind="truck") | Q(carries_kit=False),
                name="only_trucks_carry_kit",
                violation_error_message="Only a truck carries the whole kit list.",
            ),
            within("limit_kg", 0.1, 100_000, "support_limit_believable"),
        ]

    def clean(self) -> None:
        super().clean()
        if self.hang_point and self.hang_point.space_id != self.event.space_id:
            raise ValidationError(
                {"hang_point": f"{self.hang_point} is not in {self.event.space}."}
            )

    def marked_kg(self) -> float | None:
        """The lowest of the limits that are marked: here, by the venue, on the type of stand."""
        marked = [
            self.limit_kg,
            self.hang_point.limit_kg if self.hang_point else None,
            self.accessory.carries_kg if self.accessory else None,
        ]
        return min((limit for limit in marked if limit is not None), default=None)


class ExtraLoad(InRig):
    """Something else on a support: shackles, cable, a rack on a truck."""

    support = models.ForeignKey(Support, on_delete=models.CASCADE, related_name="loads")
    name = models.CharField(max_length=40)
    mass_kg = figure("mass in kg", 0.01, 50_000, "Leave empty if unknown: the sum is then open.")

    class Meta:
        ordering = ["support", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["support", "name"],
                name="extra_load_once",
                violation_error_message="This support has a load of that name already.",
            ),
            within("mass_kg", 0.01, 50_000, "extra_load_believable"),
        ]

    def __str__(self) -> str:
        return self.name
