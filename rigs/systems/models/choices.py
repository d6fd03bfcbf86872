"""What people may choose about the sums of a rig, with the house's defaults."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from rigs.systems.models.base import InRig, within

CONTINUOUS, PROGRAMME = "continuous", "programme"
MAXIMUM, NOMINAL = "maximum", "nominal"


def decided_by() -> models.ForeignKey:
    """Who answers for a programme rating."""
    return models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )


def basis_reason() -> models.CharField:
    """Why a programme rating is right."""
    return models.CharField(
        "reason for the programme rating",
        max_length=200,
        blank=True,
        help_text="Only for the programme rating. Your name is kept with it.",
    )


def programme_has_name_and_reason(name: str) -> models.CheckConstraint:
    """Limiters may stand on the programme rating only where somebody said why."""
    named = Q(limiter_basis=PROGRAMME, limiter_basis_by__isnull=False)
    return models.CheckConstraint(
        condition=Q(limiter_basis__in=["", CONTINUOUS], limiter_basis_by__isnull=True)
        | named & ~Q(limiter_basis_reason=""),
        name=name,
        violation_error_message="A programme rating needs a name and a reason.",
    )


def reason_faults(basis: str, reason: str) -> dict[str, str]:
    """The missing reason, in a sentence."""
    if basis != PROGRAMME or reason.strip():
        return {}
    return {
        "limiter_basis_reason": (
            "The programme rating protects less than the continuous one: say why it is right here."
        )
    }


class RigChoice(InRig):
    """The choices of one event where they differ from the house's."""

    conductor_resistance = models.CharField(
        "resistance of conductors",
        max_length=7,
        default=MAXIMUM,
        choices=[
            (MAXIMUM, "highest that IEC 60228 allows"),
            (NOMINAL, "nominal, from area and copper"),
        ],
    )
    cable_temperature_c = models.FloatField(
        "temperature of the conductors in °C",
        default=40,
        validators=[MinValueValidator(-30), MaxValueValidator(90)],
    )
    limiter_basis = models.CharField(
        "limiters stand on",
        max_length=10,
        default=CONTINUOUS,
        choices=[(CONTINUOUS, "continuous rating"), (PROGRAMME, "programme rating")],
    )
    limiter_basis_by = decided_by()
    limiter_basis_reason = basis_reason()
    coherent_below_hz = models.FloatField(
        "boxes of different groups add in phase below, in Hz",
        default=150,
        validators=[MinValueValidator(0), MaxValueValidator(20_000)],
        help_text="Above it their energies add; within a group everything adds in phase.",
    )

    equivalent_distance_m = models.FloatField(
        "a microphone's source shall seem as near as, in m",
        default=1.2,
        validators=[
            MinValueValidator(0.05, "Nearer than 5 cm is not believable."),
            MaxValueValidator(20, "Farther than 20 m needs no rig."),
        ],
        help_text="To the farthest listener: for gain before feedback. 2.4 for quiet speech, "
        "1.2 for speech, less than 0.5 for a concert.",
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["event"], name="choices_once"),
            programme_has_name_and_reason("rig_programme_has_name_and_reason"),
            models.CheckConstraint(
                condition=Q(cable_temperature_c__gte=-30, cable_temperature_c__lte=90),
                name="cable_temperature_believable",
            ),
            within("coherent_below_hz", 0, 20_000, "coherent_below_believable"),
            within("equivalent_distance_m", 0.05, 20, "equivalent_distance_believable"),
            models.CheckConstraint(
                condition=Q(conductor_resistance__in=[MAXIMUM, NOMINAL]),
                name="resistance_known",
            ),
        ]

    def __str__(self) -> str:
        return "the choices"

    def clean(self) -> None:
        super().clean()
        faults = reason_faults(self.limiter_basis, self.limiter_basis_reason)
        if faults:
            raise ValidationError(faults)
