"""A way's figures, and its impedance curve as pasted or uploaded."""

from typing import Any

from django import forms

from rigs.catalogue.forms.base import SheetForm
from rigs.catalogue.impedance import Curve
from rigs.catalogue.models import BASES, DATA_SHEET, MEASURED, Way
from rigs.catalogue.pasted import MOST_CHARACTERS, decode, read_curve, write_curve


class WayForm(SheetForm):
    """An uploaded file becomes typed text at once: what is wrong in it can be mended here."""

    curve_text = forms.CharField(
        label="Hz, ohm, degrees: one point a line",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 8, "class": "curve-text", "spellcheck": "false"}),
        help_text=(
            "Paste columns with commas, semicolons or tabs between them. Degrees are optional. "
            "Clear it to have no curve."
        ),
    )
    curve_file = forms.FileField(
        label="or a CSV file", required=False, help_text="It replaces the points that stand here."
    )
    impedance_curve_basis = forms.ChoiceField(
        label="Basis of the curve", choices=[(word, word) for word in BASES], required=False
    )
    instance: Way

    CURVE_FIELDS = ("curve_text", "curve_file", "impedance_curve_basis")

    class Meta:
        model = Way
        fields = [
            "order",
            "name",
            "pole_pair",
            "rated_impedance_ohm",
            "minimum_impedance_ohm",
            "noise_power_w",
            "programme_power_w",
            "peak_power_w",
            "sensitivity_db",
            "sensitivity_basis",
            "low_hz",
            "high_hz",
            "coverage_h_deg",
            "coverage_v_deg",
        ]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        curve = self.instance.curve
        basis = self.instance.basis_of("impedance_curve") if curve else MEASURED
        self.initial["curve_text"] = write_curve(curve) if curve else ""
        self.initial["impedance_curve_basis"] = basis
        self.file_faults: list[str] = []
        upload = self.files.get(self.add_prefix("curve_file")) if self.is_bound else None
        if (
            upload and upload.size
        ):  # an empty one takes nothing away: the field says that it is empty
            self._take(upload)

    def _take(self, upload: Any) -> None:
        """Put the text of an uploaded file where it would have been typed."""
        try:
            text = decode(upload.read(MOST_CHARACTERS + 1))
        except forms.ValidationError as fault:
            self.file_faults = list(fault.messages)
            return
        typed: Any = self.data
        self.data = typed.copy()
        self.data[self.add_prefix("curve_text")] = text  # type: ignore[index]

    def clean_curve_text(self) -> Curve | None:
        return read_curve(self.cleaned_data["curve_text"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        for fault in self.file_faults:
            self.add_error("curve_file", fault)
        if "curve_text" in cleaned:
            curve = cleaned["curve_text"]
            self.instance.impedance_curve = curve.to_plain() if curve else None
            basis = cleaned.get("impedance_curve_basis") or DATA_SHEET
            if curve and basis != DATA_SHEET:
                self.instance.basis["impedance_curve"] = basis
        return cleaned

    def plain_fields(self) -> list[forms.BoundField]:
        """Fields that are neither figures nor the curve."""
        return [bound for bound in super().plain_fields() if bound.name not in self.CURVE_FIELDS]

    def curve_fields(self) -> list[forms.BoundField]:
        """The curve: its points, a file of them, what they stand on."""
        return [self[name] for name in self.CURVE_FIELDS]

    def curve_is_shown(self) -> bool:
        """Whether the fold-out with the curve stands open."""
        return bool(self["curve_text"].value() or any(f.errors for f in self.curve_fields()))
