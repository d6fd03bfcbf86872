"""One filter of an output as a row of its form."""

from typing import Any

from django import forms

from rigs.systems.models import OutputFilter

Kind = OutputFilter.Kind
FIRST_ORDER, SECOND_ORDER = "all-pass 1", "all-pass 2"
KINDS = [
    ("", "none"),
    (Kind.PEAK, "peak"),
    (Kind.LOW_SHELF, "low shelf"),
    (Kind.HIGH_SHELF, "high shelf"),
    (Kind.NOTCH, "notch"),
    (FIRST_ORDER, "all-pass, order 1"),
    (SECOND_ORDER, "all-pass, order 2"),
]
LIFTS = (Kind.PEAK, Kind.LOW_SHELF, Kind.HIGH_SHELF)
SHELF_Q = 0.707
"""The steepest shelf without a bump."""
FIELDS = ("kind", "hz", "gain", "q")
ROW_OF_FIELD = {"kind": "kind", "frequency_hz": "hz", "gain_db": "gain", "q": "q", "order": "kind"}


def number_field(name: str, label: str, unit: str, help_text: str = "") -> Any:
    """A number of `OutputFilter`, checked as the model does, with its unit in the label."""
    row: Any = OutputFilter._meta.get_field(name)
    field: Any = row.formfield(
        required=False,
        label=f"{label}, {unit}" if unit else label,
        help_text=help_text,
        initial=None,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
    )
    field.show_hidden_initial = False
    return field


class FilterForm(forms.Form):
    """A peak, shelf, notch or all-pass. An empty row is left out."""

    use_required_attribute = False

    kind = forms.ChoiceField(required=False, choices=KINDS)
    hz = number_field("frequency_hz", "frequency", "Hz")
    gain = number_field("gain_db", "gain", "dB")
    q = number_field("q", "Q", "")

    @property
    def empty(self) -> bool:
        """Whether nothing was typed in this row."""
        return not any(self.cleaned_data.get(name) not in ("", None) for name in FIELDS)

    def clean(self) -> dict[str, Any]:
        """Say what a filter of this kind needs, and what it has no use for."""
        cleaned = super().clean() or {}
        kind = cleaned.get("kind", "")
        if not kind:
            if not self.errors and not self.empty:
                self.add_error("kind", "Say which kind of filter this is, or remove the row.")
            return cleaned
        if cleaned.get("hz") is None and "hz" not in self.errors:
            self.add_error("hz", "Say at which frequency.")
        if cleaned.get("gain") is None and kind in LIFTS and "gain" not in self.errors:
            self.add_error("gain", "Say by how much.")
        if cleaned.get("gain") and kind not in LIFTS:
            self.add_error("gain", "This kind has no gain: leave it empty.")
        if cleaned.get("q") is None and "q" not in self.errors:
            self._fill_q(cleaned, kind)
        return cleaned

    def _fill_q(self, cleaned: dict[str, Any], kind: str) -> None:
        if kind in (Kind.PEAK, Kind.NOTCH):
            self.add_error("q", "Say how narrow it is.")
        elif kind != FIRST_ORDER:
            cleaned["q"] = SHELF_Q

    def filter(self) -> OutputFilter:
        """The row as a filter that no output has yet."""
        kind = self.cleaned_data["kind"]
        turns = kind in (FIRST_ORDER, SECOND_ORDER)
        return OutputFilter(
            kind=Kind.ALL_PASS if turns else kind,
            order=1 if kind == FIRST_ORDER else 2,
            frequency_hz=self.cleaned_data["hz"],
            gain_db=self.cleaned_data.get("gain") or 0.0,
            q=None if kind == FIRST_ORDER else self.cleaned_data.get("q"),
        )


def filter_initial(row: OutputFilter) -> dict[str, Any]:
    """A stored filter as its row shows it."""
    turns = row.kind == Kind.ALL_PASS
    return {
        "kind": (FIRST_ORDER if row.order == 1 else SECOND_ORDER) if turns else row.kind,
        "hz": plain(row.frequency_hz),
        "gain": plain(row.gain_db) if row.kind in LIFTS else "",
        "q": plain(row.q),
    }


def plain(value: float | None) -> Any:
    """A stored number as people write it: 2, not 2.0, and none of a sum's last digits."""
    return "" if value is None else f"{value:.6g}"
