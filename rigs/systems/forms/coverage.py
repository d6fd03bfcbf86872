"""The one form of the coverage page: what is shown, a box tried elsewhere, a seat."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from rigs.events.models import Event
from rigs.systems.describe.hearing import DRIVES, QUANTITIES, Aim, Choice
from rigs.systems.models import Placement

AIM_FIELDS = ("x_m", "y_m", "z_m", "azimuth_deg", "tilt_deg")
FARTHEST_M = 1000


def _number(label: str, low: float, high: float, help_text: str = "") -> forms.FloatField:
    start = label[0].upper() + label[1:]
    return forms.FloatField(
        required=False,
        label=label,
        help_text=help_text,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
        min_value=low,
        max_value=high,
        error_messages={
            "min_value": f"{start} must be at least {low:g}.",
            "max_value": f"{start} must be at most {high:g}.",
        },
    )


class CoverageForm(forms.Form):
    """Everything that a coverage page's address says. Nothing of it is stored.

    `held` names the box whose position stands in the fields: when another one is chosen, what
    was typed for the first is left aside and its own position is shown.
    """

    use_required_attribute = False

    show = forms.ChoiceField(required=False, label="map of", choices=QUANTITIES)
    level = forms.ChoiceField(required=False, label="how loud", choices=DRIVES)
    box = forms.ChoiceField(required=False, label="which box")
    held = forms.CharField(required=False, widget=forms.HiddenInput, max_length=20)
    x_m = _number("x in m", -FARTHEST_M, FARTHEST_M)
    y_m = _number("y in m", -FARTHEST_M, FARTHEST_M)
    z_m = _number("height in m", -50, 200)
    azimuth_deg = _number("azimuth in degrees", -180, 360, "Clockwise seen from above.")
    tilt_deg = _number("tilt in degrees", -90, 90, "Negative looks down.")
    seat_x = _number("x in m", -FARTHEST_M, FARTHEST_M)
    seat_y = _number("y in m", -FARTHEST_M, FARTHEST_M)
    seat_in = forms.ChoiceField(required=False, label="in area")

    def __init__(self, data: Mapping[str, Any], *, event: Event) -> None:
        self.boxes = sorted(event.placements.all(), key=lambda box: box.name)
        super().__init__(self._filled(data))
        choices: Any = self.fields["box"]
        choices.choices = [("", "none"), *((str(box.pk), box.name) for box in self.boxes)]
        names = sorted(area.name for area in event.space.areas.all())
        areas: Any = self.fields["seat_in"]
        areas.choices = [("", "the lowest floor there"), *((name, name) for name in names)]

    def _filled(self, data: Mapping[str, Any]) -> dict[str, Any]:
        """What was sent, with a newly chosen box's own position."""
        filled = {name: data.get(name, "") for name in self.base_fields}
        box = self._box(filled["box"])
        if box is None:
            return filled | dict.fromkeys((*AIM_FIELDS, "held"), "")
        if filled["held"] != filled["box"]:
            filled |= dict.fromkeys(AIM_FIELDS, "")
        for name in AIM_FIELDS:
            if filled[name] in ("", None):
                filled[name] = f"{getattr(box, name):g}"
        return filled | {"held": filled["box"]}

    def _box(self, key: str) -> Placement | None:
        return next((box for box in self.boxes if str(box.pk) == key), None)

    @property
    def chosen(self) -> Choice:
        """What the map shows; A-weighted at most where nothing, or nonsense, was chosen."""
        cleaned = self.cleaned_data
        plain = Choice()
        return Choice(cleaned.get("show") or plain.quantity, cleaned.get("level") or plain.drive)

    @property
    def placement(self) -> Placement | None:
        """The box that is tried elsewhere."""
        return self._box(self.cleaned_data.get("box", ""))

    @property
    def aim(self) -> Aim | None:
        """Where it is tried; None without a box or with a fault among the figures."""
        if self.placement is None or any(name in self.errors for name in AIM_FIELDS):
            return None
        return Aim(*(float(self.cleaned_data[name]) for name in AIM_FIELDS))

    @property
    def seat(self) -> tuple[float, float] | None:
        """The seat that was asked for."""
        cleaned = self.cleaned_data
        x, y = cleaned.get("seat_x"), cleaned.get("seat_y")
        return None if x is None or y is None else (x, y)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        sent = [cleaned.get(name) is not None for name in ("seat_x", "seat_y")]
        faulty = "seat_x" in self.errors or "seat_y" in self.errors
        if any(sent) and not all(sent) and not faulty:
            self.add_error("seat_y" if sent[0] else "seat_x", "A seat needs both x and y.")
        return cleaned

    def faults(self) -> list[tuple[str, str]]:
        """Label and sentence of everything that is wrong, for a page that shows only the map."""
        return [
            (str(self[name].label), str(sentence))
            for name, sentences in self.errors.items()
            if name in self.fields
            for sentence in sentences
        ]

    @property
    def positions(self) -> dict[str, dict[str, float]]:
        """Where each box stands, by its value in the list: for the page's script."""
        return {
            str(box.pk): {name: getattr(box, name) for name in AIM_FIELDS} for box in self.boxes
        }

    def of(self, *names: str) -> list[BoundField]:
        """Some fields in the order given."""
        return [self[name] for name in names]

    @property
    def aim_fields(self) -> list[BoundField]:
        """Position and aim."""
        return self.of(*AIM_FIELDS)

    @property
    def seat_fields(self) -> list[BoundField]:
        """The seat."""
        return self.of("seat_x", "seat_y", "seat_in")
