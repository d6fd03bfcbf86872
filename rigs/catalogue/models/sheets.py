"""What every data sheet has: figures that may be unknown, and what each stands on."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

MEASURED, DATA_SHEET, ASSUMED = "measured", "data sheet", "assumed"
BASES = (MEASURED, DATA_SHEET, ASSUMED)


def quantity(label: str, low: float, high: float, help_text: str = "") -> models.FloatField:
    """A number that may be unknown, with the range in which it is believable."""
    start = label[0].upper() + label[1:]
    return models.FloatField(
        label,
        null=True,
        blank=True,
        help_text=help_text or "Leave empty if unknown.",
        validators=[
            MinValueValidator(low, f"{start} must be at least {low:g}."),
            MaxValueValidator(high, f"{start} above {high:g} is not believable."),
        ],
    )


def positive(*names: str) -> list[models.BaseConstraint]:
    """Database checks that each named figure is above zero or unknown."""
    return [
        models.CheckConstraint(
            condition=Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__gt": 0}),
            name=f"%(class)s_{name}_positive",
            violation_error_message=f"{name.replace('_', ' ').capitalize()} must be above zero.",
        )
        for name in names
    ]


def not_below(greater: str, lesser: str, name: str, sentence: str) -> models.CheckConstraint:
    """A database check that one figure is not below another, where both are known."""
    return models.CheckConstraint(
        condition=Q(**{f"{greater}__isnull": True})
        | Q(**{f"{lesser}__isnull": True})
        | Q(**{f"{greater}__gte": F(lesser)}),
        name=name,
        violation_error_message=sentence,
    )


class Sheet(models.Model):
    """Anything with figures: keeps what each figure stands on."""

    basis = models.JSONField(
        default=dict,
        blank=True,
        help_text='Which figures are not from the data sheet: {"noise_power_w": "measured"}.',
    )

    class Meta:
        abstract = True

    def basis_of(self, field: str) -> str:
        """What the figure in `field` stands on: measured, data sheet, assumed or unknown."""
        if getattr(self, field) is None:
            return "unknown"
        return str(self.basis.get(field, DATA_SHEET))

    def clean(self) -> None:
        super().clean()
        if not isinstance(self.basis, dict):
            raise ValidationError({"basis": "Basis must map field names to words."})
        names = {f.name for f in self._meta.get_fields()}
        for field, word in self.basis.items():
            if field not in names:
                raise ValidationError({"basis": f"There is no figure called {field!r} here."})
            if word not in BASES:
                words = ", ".join(BASES)
                raise ValidationError({"basis": f"{field}: basis must be one of {words}."})
