"""What a processor can be set to, as one table of all its dials and the slopes of its passes."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from rigs.catalogue.abilities import dial_label, dial_unit, slopes_of
from rigs.catalogue.forms.base import NumberText
from rigs.catalogue.models import PassFamily, Processor, ProcessorDial, ProcessorSlope

ENDS = ("least", "most", "step")
WORDS = {"least": "from", "most": "to", "step": "step"}
BACKWARDS = "It can't go from a greater to a smaller number."


@dataclass(frozen=True, slots=True)
class DialRow:
    """One dial in the table: its name, its unit, its fields, what is wrong with them."""

    label: str
    unit: str
    fields: list[BoundField]
    scale: BoundField | None

    @property
    def errors(self) -> list[str]:
        """All sentences of the row."""
        bound = [*self.fields, *([self.scale] if self.scale else [])]
        return [str(error) for field in bound for error in field.errors]


class AbilitiesForm(forms.Form):
    """Takes and saves like a list below an item: `instance` is the processor."""

    def __init__(self, data: Any, files: Any, *, instance: Processor, prefix: str) -> None:
        super().__init__(data, files, prefix=prefix)
        self.instance = instance
        dials = {d.quantity: d for d in instance.dials.all()} if instance.pk else {}
        for quantity in ProcessorDial.Quantity:
            self._add_dial(quantity, dials.get(quantity))
        slopes = slopes_of(instance) if instance.pk else {}
        for family in PassFamily:
            self.fields[family.name] = forms.TypedMultipleChoiceField(
                label=family.label,
                required=False,
                coerce=int,
                choices=[
                    (order, words)
                    for order, words in ProcessorSlope.ORDERS
                    if family != PassFamily.LINKWITZ_RILEY or order % 2 == 0
                ],
                initial=slopes.get(family, []),
                widget=forms.CheckboxSelectMultiple,
            )

    def _add_dial(self, quantity: ProcessorDial.Quantity, stored: ProcessorDial | None) -> None:
        for end in ENDS:
            column: Any = ProcessorDial._meta.get_field(end)
            self.fields[f"{quantity}-{end}"] = forms.FloatField(
                label=f"{dial_label(quantity)}, {WORDS[end]}",
                required=False,
                initial=getattr(stored, end, None),
                validators=column.validators,
                widget=NumberText(),
                error_messages={"invalid": "Write a number, or leave it empty."},
            )
        if quantity in ProcessorDial.FREQUENCIES:
            self.fields[f"{quantity}-scale"] = forms.ChoiceField(
                label=f"{dial_label(quantity)}, steps are counted",
                required=False,
                choices=[("linear", "Hz"), ("steps per octave", "steps to an octave")],
                initial=getattr(stored, "scale", "linear"),
            )

    def rows(self) -> list[DialRow]:
        """The table."""
        return [
            DialRow(
                dial_label(quantity),
                dial_unit(quantity),
                [self[f"{quantity}-{end}"] for end in ENDS],
                self[f"{quantity}-scale"] if f"{quantity}-scale" in self.fields else None,
            )
            for quantity in ProcessorDial.Quantity
        ]

    def slope_fields(self) -> list[BoundField]:
        """The slopes of each family."""
        return [self[family.name] for family in PassFamily]

    def clean(self) -> dict[str, Any]:
        """A dial goes upwards."""
        cleaned = super().clean() or self.cleaned_data
        for quantity in ProcessorDial.Quantity:
            least, most = cleaned.get(f"{quantity}-least"), cleaned.get(f"{quantity}-most")
            if least is not None and most is not None and least > most:
                self.add_error(f"{quantity}-most", BACKWARDS)
        return cleaned

    def save(self) -> None:
        """Store what is known; call inside the transaction that saves the processor."""
        self.instance.dials.all().delete()
        self.instance.slopes.all().delete()
        ProcessorDial.objects.bulk_create(filter(None, map(self._dial, ProcessorDial.Quantity)))
        ProcessorSlope.objects.bulk_create(
            ProcessorSlope(processor=self.instance, family=family, order=order)
            for family in PassFamily
            for order in self.cleaned_data[family.name]
        )

    def _dial(self, quantity: ProcessorDial.Quantity) -> ProcessorDial | None:
        ends = {end: self.cleaned_data.get(f"{quantity}-{end}") for end in ENDS}
        if all(value is None for value in ends.values()):
            return None
        scale = self.cleaned_data.get(f"{quantity}-scale") or "linear"
        return ProcessorDial(processor=self.instance, quantity=quantity, scale=scale, **ends)
