"""What the address of the sub array page asks. Nothing of it is stored."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from rigs.systems.describe.dialling.arrays import BANDS_HZ, KINDS, Asked

MOST_BOXES = 64
FIRST_BANDS = (40.0, 63.0, 80.0, 100.0)
WORDS = {
    "spaced": "side by side, brought level along the aim",
    "gradient": "front row, and a rear row inverted and delayed",
    "end-fire": "one behind the other, delayed forwards",
    "arc by delay": "side by side, the outer ones delayed as on an arc",
}
FIRST = {"kind": "arc by delay", "design_hz": "80", "aim_deg": "0", "opening_deg": "90"}


def _number(label: str, low: float, high: float, help_text: str = "") -> forms.FloatField:
    start = label[0].upper() + label[1:]
    return forms.FloatField(
        label=label,
        help_text=help_text,
        min_value=low,
        max_value=high,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
        error_messages={
            "required": "Type a number.",
            "min_value": f"{start} must be at least {low:g}.",
            "max_value": f"{start} must be at most {high:g}.",
        },
    )


class SubArrayForm(forms.Form):
    """Which subs, which kind, for which frequency and angle."""

    use_required_attribute = False

    boxes = forms.MultipleChoiceField(
        label="which subs",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose the subs that shall work together."},
    )
    kind = forms.ChoiceField(choices=[(kind, f"{kind}: {WORDS[kind]}") for kind in KINDS])
    design_hz = _number("design frequency in Hz", 20, 500, "The highest that they play well.")
    aim_deg = _number("aim in degrees", -180, 360, "0 looks away from the stage.")
    opening_deg = _number("opening angle in degrees", 1, 180, "Of an arc only.")
    bands = forms.TypedMultipleChoiceField(
        label="maps at",
        required=False,
        coerce=float,
        choices=[(f"{hz:g}", f"{hz:g} Hz") for hz in BANDS_HZ],
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(self, data: Mapping[str, Any], *, subs: Sequence[str]) -> None:
        super().__init__(self._filled(data, subs))
        boxes: Any = self.fields["boxes"]
        boxes.choices = [(name, name) for name in subs]

    def _filled(self, data: Any, subs: Sequence[str]) -> Any:
        """Before anybody asked: all subs, an arc by delay: any row of subs can be one."""
        if "kind" in data:
            return data
        bands = [f"{hz:g}" for hz in FIRST_BANDS]
        return _Lists(FIRST | {"boxes": list(subs), "bands": bands})

    def clean_boxes(self) -> list[str]:
        """Two at least."""
        chosen: list[str] = self.cleaned_data["boxes"]
        if not 2 <= len(chosen) <= MOST_BOXES:
            raise forms.ValidationError(f"An array has 2 to {MOST_BOXES} boxes.")
        return chosen

    def asked(self) -> Asked:
        """What was asked."""
        entered = self.cleaned_data
        return Asked(
            tuple(entered["boxes"]),
            entered["kind"],
            entered["design_hz"],
            entered["aim_deg"],
            entered["opening_deg"],
            tuple(entered["bands"]),
        )


class _Lists(dict):
    """A dictionary that knows lists, as a form's widgets ask for them."""

    def getlist(self, name: str) -> list[Any]:
        """All values of a name."""
        value = self.get(name, [])
        return value if isinstance(value, list) else [value]
