"""Venues as people type them."""

from typing import Any

from django import forms

from venues.corners import read_corners, write_corners
from venues.models import (
    AudienceArea,
    Circuit,
    HangPoint,
    ListeningPlace,
    Space,
    Supply,
    Venue,
)
from venues.octave_fields import OctavesField
from venues.seen import fingerprint
from venues.surface_lines import Row, read_surfaces, write_surfaces

EARS_M = {"seated": 1.2, "standing": 1.6}
"""Ear heights over the floor. Common practice, no source."""
MOST_BYTES = 100_000


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
    decay_s = OctavesField(
        label="Decay time in s, measured",
        help_text="For a fall of 60 dB. Leave empty what is unknown: it is estimated from the "
        "surfaces, and said to be an estimate.",
    )
    noise_db = OctavesField(
        label="Noise in dB",
        help_text="Of the room with people and machines, no music. Leave empty what is unknown.",
    )

    class Meta:
        model = Space
        fields = ["name", "indoors", "volume_m3", "decay_s", "noise_db"]
        labels = {"volume_m3": "Volume in m³"}
        help_texts = {"volume_m3": "Leave empty if unknown."}


class SurfacesForm(forms.Form):
    """All surfaces of a room as lines; an uploaded file becomes those lines at once."""

    lines = forms.CharField(
        label="Surfaces",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 12, "class": "surface-lines", "spellcheck": "false"}),
        help_text=(
            "One a line: name; area in m²; absorption at 125, 250, 500 Hz, 1, 2, 4, 8 kHz. "
            "Leave a cell empty if it is unknown."
        ),
    )
    file = forms.FileField(
        label="or a CSV file", required=False, help_text="It replaces what stands here."
    )
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, space: Space, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["lines"] = write_surfaces(space.surfaces.all())
        self.initial["seen"] = fingerprint(*space.surfaces.all())
        upload = self.files.get("file") if self.is_bound else None
        if upload and upload.size:
            typed: Any = self.data
            self.data = typed.copy()
            text = upload.read(MOST_BYTES).decode("utf-8-sig", errors="replace")
            self.data["lines"] = text.replace("\0", "\ufffd")  # type: ignore[index]

    def clean_lines(self) -> list[Row]:
        return read_surfaces(self.cleaned_data["lines"])

    def show_stored_as_seen(self, word: str) -> None:
        """After a clash: the next save replaces what is stored now."""
        typed: Any = self.data
        self.data = typed.copy()
        self.data["seen"] = word  # type: ignore[index]


class AreaForm(SeenForm):
    corners = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 8, "class": "corners"}),
        help_text=(
            "One corner per line as x, y in metres, in order round the area. Seen from the "
            "stage front: y away from the stage, x to the right of someone looking along y."
        ),
    )

    people = forms.ChoiceField(
        label="People",
        required=False,
        choices=[
            *(
                (name, f"{name}: ears {height:g} m above the floor")
                for name, height in EARS_M.items()
            ),
            ("other", "as written below"),
        ],
        help_text="Common practice. Another height written below counts before it.",
    )

    class Meta:
        model = AudienceArea
        fields = [
            "name",
            "kind",
            "corners",
            "floor_z_m",
            "people",
            "ear_height_m",
            "rake_deg",
            "rake_azimuth_deg",
        ]
        labels = {"rake_deg": "Rake in degrees"}
        help_texts = {"floor_z_m": "A balcony is an area with a high floor and a rake."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kind: Any = self.fields["kind"]
        kind.choices = [(value, value) for value in AudienceArea.Kind.values]
        self.fields["ear_height_m"].required = False
        if isinstance(self.instance.corners, list):
            self.initial["corners"] = write_corners(self.instance.corners)
        height = self.instance.ear_height_m
        known = (name for name, usual in EARS_M.items() if usual == height)
        self.initial["people"] = next(known, "other")

    def clean_corners(self) -> list[list[float]]:
        return read_corners(self.cleaned_data["corners"])

    def clean(self) -> dict[str, Any]:
        """A height that somebody wrote counts; else that of the people chosen."""
        cleaned = super().clean() or self.cleaned_data
        usual = EARS_M.get(cleaned.get("people", ""))
        written = cleaned.get("ear_height_m")
        chosen = "people" in self.changed_data and "ear_height_m" not in self.changed_data
        if "ear_height_m" in self.errors:
            return cleaned
        if usual is not None and (written is None or chosen):
            cleaned["ear_height_m"] = usual
        elif written is None:
            self.add_error("ear_height_m", "Write the ear height, or choose seated or standing.")
        return cleaned


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


class PlaceForm(SeenForm):
    class Meta:
        model = ListeningPlace
        fields = ["name", "kind", "x_m", "y_m", "z_m", "hours"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kind: Any = self.fields["kind"]
        kind.choices = [(value, value) for value in ListeningPlace.Kind.values]


PARTS: dict[str, tuple[str, type[SeenForm]]] = {
    "areas": ("area", AreaForm),
    "places": ("place", PlaceForm),
    "supplies": ("supply", SupplyForm),
    "circuits": ("circuit", CircuitForm),
    "hang-points": ("hang point", HangPointForm),
}
"""What a space has: the word in the address, the word on the page, the form."""
