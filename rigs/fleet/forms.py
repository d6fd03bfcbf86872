"""What the manager wants to see of the loading."""

from typing import Any, cast

from django import forms

from rigs.catalogue.models import Amplifier
from rigs.fleet.grid import Wanted

FIGURES = (
    ("worst", "the worst"),
    ("load", "load"),
    ("headroom", "headroom"),
    ("damping", "damping factor"),
    ("power", "power against rating"),
    ("peak", "peaks against rating"),
)
STATES = ("fails", "cannot check", "tight", "holds")
WINDOWS = (
    ("", "all events ahead"),
    ("7", "7 days"),
    ("14", "14 days"),
    ("30", "30 days"),
    ("90", "90 days"),
)


class LoadingForm(forms.Form):
    """A plain GET form; every field may be left as it is."""

    days = forms.TypedChoiceField(
        label="Kit leaves within", choices=WINDOWS, coerce=int, empty_value=None, required=False
    )
    figure = forms.ChoiceField(label="Figure in the cells", choices=FIGURES, required=False)
    amplifier = forms.TypedChoiceField(
        label="Amplifier type", coerce=int, empty_value=None, required=False
    )
    state = forms.ChoiceField(
        choices=[("", "any"), *((state, state) for state in STATES)], required=False
    )
    headroom = forms.FloatField(
        label="Headroom below (dB)",
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "size": 6}),
        min_value=-60,
        max_value=60,
        help_text="Unknown headroom stays in.",
        error_messages={
            "invalid": "Write a number of dB, such as 3, or leave it empty.",
            "min_value": "Less than -60 dB is not believable.",
            "max_value": "More than 60 dB is not believable.",
        },
    )

    def __init__(self, data: Any, amplifiers: list[Amplifier]) -> None:
        super().__init__(data or None)
        amplifier = cast(forms.TypedChoiceField, self.fields["amplifier"])
        amplifier.choices = [("", "all types"), *((str(a.pk), str(a)) for a in amplifiers)]

    def wanted(self) -> tuple[int | None, Wanted]:
        """Days ahead, and which lines. A field with a fault counts as not filled in."""
        if not self.is_bound:
            return None, Wanted()
        self.is_valid()
        found = self.cleaned_data
        return found.get("days"), Wanted(
            figure=found.get("figure") or "worst",
            amplifier_id=found.get("amplifier"),
            state=found.get("state") or "",
            headroom_under_db=found.get("headroom"),
        )
