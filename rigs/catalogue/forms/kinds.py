"""One form for each kind of item."""

from typing import Any

from django import forms

from rigs.catalogue import awg
from rigs.catalogue.forms.base import ItemForm
from rigs.catalogue.gains import read_gains, write_gains
from rigs.catalogue.models import (
    Accessory,
    Amplifier,
    Cable,
    FilterKind,
    Kind,
    Loudspeaker,
    Mixer,
    Processor,
)

COMMON = ["maker", "model", "mass_kg", "preparation", "turnaround", "notes"]
NOTES = {"notes": forms.Textarea(attrs={"rows": 3})}


class LoudspeakerForm(ItemForm):
    class Meta:
        model = Loudspeaker
        fields = [*COMMON, "role", "width_m", "height_m", "depth_m"]
        widgets = NOTES


class GainsField(forms.CharField):
    """Gains between commas or spaces; reads them into a list of dB."""

    def to_python(self, value: Any) -> Any:
        try:
            return read_gains(super().to_python(value) or "")
        except ValueError as fault:
            raise forms.ValidationError(str(fault)) from fault

    def prepare_value(self, value: Any) -> Any:
        return write_gains(value) if isinstance(value, list) else value

    def has_changed(self, initial: Any, data: Any) -> bool:
        return super().has_changed(self.prepare_value(initial), data)


class AmplifierForm(ItemForm):
    gain_settings_db = GainsField(
        label="Selectable gains in dB",
        max_length=200,
        required=False,
        help_text="What its gain switch offers, as 26, 32, 38. Empty: it has one gain only.",
    )

    class Meta:
        model = Amplifier
        fields = [
            *COMMON,
            "channels",
            "rack_units",
            "gain_settings_db",
            "gain_db",
            "sensitivity_v",
            "sensitivity_load_ohm",
            "damping_factor",
            "mains_v",
            "idle_w",
            "eighth_power_w",
            "third_power_w",
            "power_factor",
            "inrush_a",
            "peak_v",
            "input_clip_dbu",
            "output_noise_dbu",
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
    kinds = forms.MultipleChoiceField(
        label="Kinds of filters",
        required=False,
        choices=FilterKind.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text="None ticked: unknown.",
    )
    mixes_inputs = forms.NullBooleanField(
        label="An output can play the sum of inputs", required=False
    )

    class Meta:
        model = Processor
        fields = [
            *COMMON,
            "inputs",
            "outputs",
            "filters_per_output",
            "kinds",
            "bessel_corner",
            "mixes_inputs",
            "sampling_hz",
            "latency_ms",
            "max_input_dbu",
            "max_output_dbu",
            "output_noise_dbu",
            "mains_w",
        ]
        widgets = NOTES


class MixerForm(ItemForm):
    class Meta:
        model = Mixer
        fields = [*COMMON, "max_output_dbu", "output_noise_dbu"]
        widgets = NOTES


class AccessoryForm(ItemForm):
    class Meta:
        model = Accessory
        fields = [*COMMON, "carries_kg"]
        widgets = NOTES


FORM_OF_KIND: dict[str, type[ItemForm]] = {
    Kind.LOUDSPEAKER: LoudspeakerForm,
    Kind.AMPLIFIER: AmplifierForm,
    Kind.CABLE: CableForm,
    Kind.PROCESSOR: ProcessorForm,
    Kind.MIXER: MixerForm,
    Kind.ACCESSORY: AccessoryForm,
}
