"""What all forms of the catalogue share: beside each figure stands what it rests on."""

from datetime import timedelta
from typing import Any

from django import forms

from rigs.catalogue.figures import hours, plain, quantities
from rigs.catalogue.models import BASES, DATA_SHEET, Item, Sheet

HOURS = "Write hours as 2 or as 2:30."


class HoursField(forms.DurationField):
    """A time span that reads a bare number as hours."""

    default_error_messages = {"invalid": HOURS, "overflow": HOURS}

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip()
        if text.count(":") == 1:
            text += ":00"
        elif text.replace(".", "", 1).isdigit():
            text = str(float(text) * 3600)
        return super().to_python(text)

    def prepare_value(self, value: Any) -> Any:
        return hours(value) if isinstance(value, timedelta) else value


def speak_plainly(fields: dict[str, forms.Field]) -> None:
    """Offer "per channel" as the word that is stored, and say what an empty choice means."""
    for name in {"mode", "role", "use", "side"} & fields.keys():
        chosen: Any = fields[name]
        chosen.choices = [(value, value or "choose") for value, _ in chosen.choices]


class NumberText(forms.TextInput):
    """A number input drops what is no number; a text input brings it back to mend."""

    def __init__(self) -> None:
        super().__init__(attrs={"inputmode": "decimal", "size": 8})

    def format_value(self, value: Any) -> str | None:
        return plain(value) if isinstance(value, float) else super().format_value(value)


class SheetForm(forms.ModelForm):
    """A form over a sheet: each figure gets a small select for its basis."""

    instance: Sheet

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.figure_names = [f.name for f in quantities(self._meta.model) if f.name in self.fields]
        for name in self.figure_names:
            self.fields[f"{name}_basis"] = forms.ChoiceField(
                label=f"Basis of {self.fields[name].label}",
                choices=[(word, word) for word in BASES],
                initial=self.instance.basis.get(name, DATA_SHEET),
                required=False,
            )
            self.fields[name].error_messages["invalid"] = "Write a number, or leave it empty."
        for field in self.fields.values():
            if isinstance(field.widget, forms.NumberInput):
                field.widget = NumberText()
        speak_plainly(self.fields)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self.instance.basis = {
            name: cleaned[f"{name}_basis"]
            for name in self.figure_names
            if cleaned.get(name) is not None
            and cleaned.get(f"{name}_basis", "") not in ("", DATA_SHEET)
        }
        return cleaned

    def plain_fields(self) -> list[forms.BoundField]:
        """Fields that are no figures."""
        hidden = {*self.figure_names, *(f"{n}_basis" for n in self.figure_names), "DELETE"}
        return [bound for bound in self.visible_fields() if bound.name not in hidden]

    def figure_fields(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """Each figure with its basis."""
        return [(self[name], self[f"{name}_basis"]) for name in self.figure_names]


class ItemForm(SheetForm):
    """What all kinds of items share."""

    instance: Item

    preparation = HoursField(label="Preparation before it leaves", initial="0:00", help_text=HOURS)
    turnaround = HoursField(
        label="Test and repair after it is back", initial="2:00", help_text=HOURS
    )
    seen_version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["seen_version"].initial = self.instance.version
        self.order_fields(["maker", "model"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        for name in ("preparation", "turnaround"):
            span = cleaned.get(name)
            if span is not None and span.total_seconds() < 0:
                self.add_error(name, "This can't be negative.")
            elif span is not None and span.days > 60:
                self.add_error(name, "More than 60 days is not believable.")
        return cleaned
