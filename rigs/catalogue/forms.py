"""Data sheets as people type them. Beside each figure stands what it rests on."""

from datetime import timedelta
from typing import Any

from django import forms

from rigs.catalogue import awg
from rigs.catalogue.figures import hours, plain, quantities
from rigs.catalogue.models import (
    BASES,
    DATA_SHEET,
    Accessory,
    Amplifier,
    AmplifierMode,
    Cable,
    Connector,
    End,
    Item,
    Kind,
    Loudspeaker,
    Processor,
    Rating,
    Sheet,
    Way,
)

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


COMMON = ["maker", "model", "mass_kg", "preparation", "turnaround", "notes"]
NOTES = {"notes": forms.Textarea(attrs={"rows": 3})}


class LoudspeakerForm(ItemForm):
    class Meta:
        model = Loudspeaker
        fields = [*COMMON, "role", "width_m", "height_m", "depth_m"]
        widgets = NOTES


class AmplifierForm(ItemForm):
    class Meta:
        model = Amplifier
        fields = [
            *COMMON,
            "channels",
            "rack_units",
            "gain_db",
            "sensitivity_v",
            "sensitivity_load_ohm",
            "damping_factor",
            "mains_v",
            "idle_w",
            "eighth_power_w",
            "power_factor",
            "inrush_a",
        ]
        widgets = NOTES

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        gain, volts = cleaned.get("gain_db"), cleaned.get("sensitivity_v")
        if gain is not None and volts is not None:
            self.add_error(
                "sensitivity_v", "Give the gain in dB or the sensitivity in V, not both."
            )
        if volts is not None and cleaned.get("sensitivity_load_ohm") is None:
            self.add_error(
                "sensitivity_load_ohm", "Say into which load the sensitivity gives full power."
            )
        return cleaned


class CableForm(ItemForm):
    awg = forms.ChoiceField(
        label="AWG",
        required=False,
        choices=[
            ("", "not an AWG cable"),
            *((g, f"AWG {g} ({awg.area_mm2(n):.3g} mm²)") for g, n in awg.GAUGES.items()),
        ],
        help_text="Fills in the conductor area (ASTM B258).",
    )

    class Meta:
        model = Cable
        fields = [*COMMON, "use", "length_m", "area_mm2", "conductor_class", "pole_pairs"]
        widgets = NOTES

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        gauge, typed = cleaned.get("awg"), cleaned.get("area_mm2")
        if gauge:
            area = round(awg.area_mm2(awg.GAUGES[gauge]), 4)
            if typed is not None and abs(typed - area) > 0.02 * area:
                self.add_error(
                    "area_mm2",
                    f"AWG {gauge} is {area:.3g} mm², but {typed:g} mm² stands here. Clear one.",
                )
            elif "area_mm2" not in self.errors and typed is None:
                cleaned["area_mm2"] = area
        return cleaned


class ProcessorForm(ItemForm):
    class Meta:
        model = Processor
        fields = [*COMMON, "inputs", "outputs", "max_output_dbu", "limiter_step_db", "mains_w"]
        widgets = NOTES


class AccessoryForm(ItemForm):
    class Meta:
        model = Accessory
        fields = [*COMMON, "carries_kg"]
        widgets = NOTES


class WayForm(SheetForm):
    class Meta:
        model = Way
        fields = [
            "order",
            "name",
            "pole_pair",
            "rated_impedance_ohm",
            "minimum_impedance_ohm",
            "noise_power_w",
            "peak_power_w",
            "sensitivity_db",
            "sensitivity_basis",
            "low_hz",
            "high_hz",
            "coverage_h_deg",
            "coverage_v_deg",
        ]


class ModeForm(SheetForm):
    class Meta:
        model = AmplifierMode
        fields = ["mode", "minimum_load_ohm", "minimum_kind", "extra_gain_db"]
        labels = {"minimum_kind": "Minimum is stated as"}


class RatingForm(SheetForm):
    class Meta:
        model = Rating
        fields = ["mode", "load_ohm", "power_w"]
        labels = {"load_ohm": "Rated load in ohm"}


class EndForm(forms.ModelForm):
    """A connection; a connector that nobody used before is made by its name."""

    new_connector = forms.CharField(label="or a new connector", max_length=60, required=False)

    class Meta:
        model = End
        fields = ["connector", "side", "count"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["connector"].required = False
        self.fields["count"].widget = NumberText()
        speak_plainly(self.fields)
        self.order_fields(["connector", "new_connector"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        typed, chosen = cleaned.get("new_connector", "").strip(), cleaned.get("connector")
        if typed and chosen:
            self.add_error("new_connector", "Choose a connector or name a new one, not both.")
        elif typed:
            known = Connector.objects.filter(name__iexact=typed).first()
            cleaned["connector"] = known or Connector(name=typed)
        elif not chosen and "connector" not in self.errors:
            self.add_error("connector", "Choose a connector or name a new one.")
        return cleaned

    def _get_validation_exclusions(self) -> set[str]:
        exclude: set[str] = super()._get_validation_exclusions()  # type: ignore[misc]
        chosen = self.cleaned_data.get("connector")
        # A connector that is not saved yet has no key that the model could look at.
        return exclude | {"connector"} if chosen is not None and chosen.pk is None else exclude

    def save(self, commit: bool = True) -> End:
        connector = self.instance.connector
        if connector.pk is None:
            self.instance.connector, _ = Connector.objects.get_or_create(name=connector.name)
        return super().save(commit)

    def plain_fields(self) -> list[forms.BoundField]:
        return [bound for bound in self.visible_fields() if bound.name != "DELETE"]


class ListFormSet(forms.BaseInlineFormSet):
    """Rows below an item; says in a sentence when two of them are the same."""

    def get_unique_error_message(self, unique_check: Any) -> str:
        return "Two rows say the same: " + ", ".join(unique_check) + ". Change or remove one."

    def get_form_error(self) -> str:
        return "This row repeats another one."


class EndFormSet(ListFormSet):
    """Also sees two rows that name the same new connector."""

    def clean(self) -> None:
        super().clean()
        seen: set[tuple[str, str]] = set()
        for form in self.forms:
            data = getattr(form, "cleaned_data", {})
            if data.get("DELETE") or not data.get("connector"):
                continue
            row = (data["connector"].name.lower(), data.get("side", ""))
            if row in seen:
                form.add_error("new_connector", self.get_form_error())
            seen.add(row)


def _rows(model: Any, form: Any, parent: type[Item], formset: Any = ListFormSet) -> Any:
    return forms.inlineformset_factory(
        parent, model, form=form, formset=formset, extra=1, can_delete=True, max_num=100
    )


FORM_OF_KIND: dict[str, type[ItemForm]] = {
    Kind.LOUDSPEAKER: LoudspeakerForm,
    Kind.AMPLIFIER: AmplifierForm,
    Kind.CABLE: CableForm,
    Kind.PROCESSOR: ProcessorForm,
    Kind.ACCESSORY: AccessoryForm,
}
LISTS_OF_KIND: dict[str, dict[str, Any]] = {
    Kind.LOUDSPEAKER: {"ways": _rows(Way, WayForm, Loudspeaker)},
    Kind.AMPLIFIER: {
        "modes": _rows(AmplifierMode, ModeForm, Amplifier),
        "ratings": _rows(Rating, RatingForm, Amplifier),
    },
}
ENDS = _rows(End, EndForm, Item, EndFormSet)


def item_lists(kind: str, item: Item, data: Any = None) -> dict[str, Any]:
    """The formsets that belong to a kind of item, by name."""
    classes = LISTS_OF_KIND.get(kind, {}) | {"ends": ENDS}
    return {name: made(data, instance=item, prefix=name) for name, made in classes.items()}


def with_one_more_row(data: Any, kind: str, item: Item, name: str) -> Any:
    """The posted data with one more row in a list, filled as an untouched row would be."""
    grown = data.copy()
    total = grown.get(f"{name}-TOTAL_FORMS", "")
    if not total.isdigit():
        return data
    for field in item_lists(kind, item)[name].empty_form:
        untouched = field.value()
        grown[field.html_name.replace("__prefix__", total)] = "" if untouched is None else untouched
    grown[f"{name}-TOTAL_FORMS"] = str(int(total) + 1)
    return grown
