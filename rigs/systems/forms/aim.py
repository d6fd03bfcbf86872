"""What a search may move, and how far."""

from typing import Any

from django import forms

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.faults import NotSaved
from rigs.systems.models import AimProposal

BOUNDS = {
    "azimuth_deg": ("azimuth, ± degrees", 90.0, 10.0),
    "tilt_deg": ("tilt, ± degrees", 45.0, 6.0),
    "z_m": ("height, ± m", 10.0, 0.0),
    "level_db": ("level, ± dB", 12.0, 0.0),
    "delay_ms": ("delay, ± ms", 50.0, 0.0),
}
"""Label, the most that can be asked for, and what the form starts with."""
MOST_BOXES = 48
TOGETHER, APART = "together", "apart"
WORDS = {"azimuth_deg": "azimuth", "tilt_deg": "tilt", "z_m": "height", "level_db": "level",
         "delay_ms": "delay"}  # fmt: skip


class AimForm(forms.Form):
    """Which boxes may move, together or each by itself, within which bounds."""

    use_required_attribute = False

    boxes = forms.MultipleChoiceField(
        label="which boxes may move",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one box that may move."},
    )
    together = forms.ChoiceField(
        label="how they move",
        choices=[
            (TOGETHER, "all alike, left and right mirrored"),
            (APART, "each by itself"),
        ],
        initial=TOGETHER,
    )

    def __init__(self, data: Any = None, *, event: Event) -> None:
        super().__init__(data)
        self.event = event
        names = sorted(box.name for box in event.placements.all())
        boxes: Any = self.fields["boxes"]
        boxes.choices = [(name, name) for name in names]
        for name, (label, most, start) in BOUNDS.items():
            self.fields[name] = forms.FloatField(
                label=label,
                required=False,
                min_value=0,
                max_value=most,
                initial=int(start) if start.is_integer() else start,
                widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
                error_messages={
                    "min_value": "A bound is 0 or more: it counts both ways.",
                    "max_value": f"At most {most:g}.",
                },
            )

    def clean_boxes(self) -> list[str]:
        """A search over very many boxes never ends."""
        chosen: list[str] = self.cleaned_data["boxes"]
        if len(chosen) > MOST_BOXES:
            raise forms.ValidationError(f"At most {MOST_BOXES} boxes at once.")
        return chosen

    @property
    def bound_fields(self) -> list[forms.BoundField]:
        """The bounds, in their order."""
        return [self[name] for name in BOUNDS]

    def ask_for(self, person: Person) -> AimProposal | None:
        """Ask; None when refused, with the reason in the errors."""
        bounds = {name: self.cleaned_data.get(name) or 0.0 for name in BOUNDS}
        together = self.cleaned_data["together"] == TOGETHER
        try:
            return actions.ask_for_aim(
                self.event,
                self.cleaned_data["boxes"],
                bounds,
                together=together,
                words=self._words(bounds, together),
                person=person,
            )
        except NotSaved as refusal:
            self.add_error(None, str(refusal))
            return None

    def _words(self, bounds: dict[str, float], together: bool) -> str:
        parts = [f"{WORDS[name]} ±{value:g}" for name, value in bounds.items() if value]
        how = "all alike" if together else "each by itself"
        count = len(self.cleaned_data["boxes"])
        return f"{count} box{'es' if count > 1 else ''}, {how}: {', '.join(parts)}"
