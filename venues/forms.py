"""Venues as people type them."""

from typing import Any

from django import forms

from venues.corners import read_corners, write_corners
from venues.models import AudienceArea, Circuit, HangPoint, Space, Supply, Venue
from venues.seen import fingerprint


class NumberText(forms.TextInput):
    """A number input drops what is no number; a text input brings it back to mend."""

    def __init__(self) -> None:
        super().__init__(attrs={"inputmode": "decimal", "size": 8})

    def format_value(self, value: Any) -> str | None:
        return f"{value:g}" if isinstance(value, float) else super().format_value(value)


class SeenForm(forms.ModelForm):
    """A form that knows what its page showed, so that no save hides another."""

    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["seen"].initial = fingerprint(self.instance)
        for field in self.fields.values():
            if isinstance(field.widget, forms.NumberInput):
                field.widget = NumberText()

    def _get_validation_exclusions(self) -> set[str]:
        # What the row belongs to is no field here, but "this name once in a space" needs it.
        own: set[str] = super()._get_validation_exclusions()  # type: ignore[misc]
        return own - {"space", "venue"}

    def show_stored_as_seen(self, word: str) -> None:
        """After a clash: the next save replaces what is stored now."""
        typed: Any = self.data
        self.data = typed.copy()
        self.data[self.add_prefix("seen")] = word  # type: ignore[index]


class VenueForm(SeenForm):
    class Meta:
        model = Venue
        fields = ["name", "town", "zone", "notes"]
        widgets = {"notes": forms.Textarea(attrs={"rows": 4})}
        help_texts = {"zone": "As in Europe/Lisbon. Times of events are shown in it."}


class SpaceForm(SeenForm):
    class Meta:
        model = Space
        fields = ["name", "indoors", "volume_m3", "decay_s", "noise_db"]
        labels = {"volume_m3": "Volume in m³"}
        help_texts = {
            "volume_m3": "Leave empty if unknown.",
        }


class AreaForm(SeenForm):
    corners = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 8, "class": "corners"}),
        help_text=(
            "One corner per line as x, y in metres, in order round the area. Seen from the "
            "stage front: y away from the stage, x to the right of someone looking along y."
        ),
    )

    class Meta:
        model = AudienceArea
        fields = ["name", "corners", "floor_z_m", "ear_height_m", "rake_deg", "rake_azimuth_deg"]
        labels = {"rake_deg": "Rake in degrees"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if isinstance(self.instance.corners, list):
            self.initial["corners"] = write_corners(self.instance.corners)

    def clean_corners(self) -> list[list[float]]:
        return read_corners(self.cleaned_data["corners"])


class SupplyForm(SeenForm):
    class Meta:
        model = Supply
        fields = ["name", "phases", "amps_per_phase", "voltage_v", "generator"]
        help_texts = {
            "amps_per_phase": "What the supply's breaker allows. Leave empty if unknown.",
            "voltage_v": "Leave empty if unknown.",
        }


class CircuitForm(SeenForm):
    class Meta:
        model = Circuit
        fields = ["name", "supply", "phase", "breaker_a"]
        help_texts = {"breaker_a": "What stands on it. Leave empty if unknown."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        supply: Any = self.fields["supply"]
        supply.queryset = Supply.objects.filter(space=self.instance.space_id)
        supply.empty_label = "choose"
        phase: Any = self.fields["phase"]
        phase.choices = [("", "unknown"), *phase.choices[1:]]


class HangPointForm(SeenForm):
    class Meta:
        model = HangPoint
        fields = ["name", "x_m", "y_m", "z_m", "limit_kg"]
        help_texts = {"limit_kg": "As marked or stated by the venue. Leave empty if unknown."}


PARTS: dict[str, tuple[str, type[SeenForm]]] = {
    "areas": ("audience area", AreaForm),
    "supplies": ("supply", SupplyForm),
    "circuits": ("circuit", CircuitForm),
    "hang-points": ("hang point", HangPointForm),
}
"""What a space has: the word in the address, the word on the page, the form."""
