"""Seven small fields in a row, one for each octave."""

from typing import Any

from django import forms
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from venues.octaves import OCTAVES, octave_name, or_none


class OctavesWidget(forms.Widget):
    """Seven text inputs, each with its own label."""

    use_fieldset = True

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        base = (attrs or {}).get("id", f"id_{name}")
        shown = list(value or [])
        shown += [None] * (len(OCTAVES) - len(shown))
        inputs = format_html_join(
            "",
            '<span class="octave"><label for="{0}_{1}">{2}</label><input type="text" '
            'inputmode="decimal" size="5" name="{3}_{1}" id="{0}_{1}" value="{4}"></span>',
            (
                (base, hz, octave_name(hz), name, _shown(each))
                for hz, each in zip(OCTAVES, shown, strict=False)
            ),
        )
        return format_html('<span class="octaves">{}</span>', inputs)

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        return [data.get(f"{name}_{hz}", "") for hz in OCTAVES]

    def value_omitted_from_data(self, data: Any, files: Any, name: str) -> bool:
        return all(f"{name}_{hz}" not in data for hz in OCTAVES)

    def id_for_label(self, id_: str) -> str:
        return ""


class OctavesField(forms.Field):
    """Reads seven numbers; an empty one is unknown, seven empty ones are none at all."""

    widget = OctavesWidget

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, **kwargs)

    def clean(self, value: Any) -> list[float | None]:
        numbers, faults = [], []
        for hz, typed in zip(OCTAVES, value or [""] * len(OCTAVES), strict=True):
            try:
                numbers.append(_read(typed))
            except ValueError:
                faults.append(f"{octave_name(hz)}: “{str(typed)[:20]}” is no number.")
        if faults:
            raise forms.ValidationError(faults)
        return or_none(numbers)


def _read(typed: str) -> float | None:
    typed = typed.strip().replace(",", ".")
    return float(typed) if typed else None


def _shown(value: Any) -> str:
    if value is None:
        return ""
    return f"{value:.12g}" if isinstance(value, float | int) else str(value)
