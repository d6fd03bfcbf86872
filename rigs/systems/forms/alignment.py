"""Listening spots, what was measured there, and which lines shall run together."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from rigs.catalogue.typed_lines import decode
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.forms.base import PartForm
from rigs.systems.models import Alignment, DriveLine, ListeningSpot, MeasuredResponse
from rigs.systems.responses import read_measured, write_measured


class SpotForm(PartForm[ListeningSpot]):
    """Where somebody listens or a microphone stands."""

    may_be_empty = ("x_m", "y_m", "z_m", "weight")

    class Meta:
        model = ListeningSpot
        fields = ["name", "x_m", "y_m", "z_m", "kind", "weight"]
        help_texts = {
            "name": "As it is called on site: Mix position.",
            "x_m": "To the right of someone on stage who looks at the audience.",
            "y_m": "Away from the stage.",
            "z_m": "Of the ears or the microphone.",
            "weight": "How much of the audience it stands for: a spot of 2 counts twice.",
        }

    def act(self, person: Person) -> None:
        actions.save_spot(self.instance, self.seen, person)


class AlignmentForm(PartForm[Alignment]):
    """The lines to delay, those that they shall meet, and where."""

    may_be_empty = ("offset_ms",)

    class Meta:
        model = Alignment
        fields = [
            "name",
            "kind",
            "moved",
            "reference",
            "spot",
            "offset_ms",
            "set_temperature_c",
        ]
        help_texts = {"name": "As people call it: Subs to tops left."}
        widgets = {
            "moved": forms.CheckboxSelectMultiple,
            "reference": forms.CheckboxSelectMultiple,
        }
        error_messages = {
            "moved": {"required": "Choose at least one line to delay."},
            "reference": {"required": "Choose at least one line that they shall meet."},
            "spot": {"required": "Choose where they shall run together."},
        }

    def prepare(self) -> None:
        lines = DriveLine.objects.filter(event=self.event).order_by("name")
        for name in ("moved", "reference"):
            field: Any = self.fields[name]
            field.queryset = lines
            field.choices = [(line.pk, str(line)) for line in lines]
        spots: Any = self.fields["spot"]
        spots.queryset = ListeningSpot.objects.filter(event=self.event)
        spots.empty_label = "Choose a listening spot"

    def clean(self) -> dict[str, Any]:
        """A line can't wait for itself."""
        cleaned = super().clean()
        both = set(cleaned.get("moved") or ()) & set(cleaned.get("reference") or ())
        if both:
            names = ", ".join(sorted(map(str, both)))
            self.add_error("moved", f"{names} stands on both sides. Leave it on one.")
        return cleaned

    def act(self, person: Person) -> None:
        moved, reference = self.cleaned_data["moved"], self.cleaned_data["reference"]
        actions.save_alignment(self.instance, list(moved), list(reference), self.seen, person)

    def differences(self, stored: Alignment) -> list[tuple[str, str]]:
        """Lines are told by their names."""
        found = []
        for name in self.fields:
            typed: Any = self.cleaned_data.get(name)
            said: Any = getattr(stored, name)
            if name in ("moved", "reference"):
                said, typed = (", ".join(sorted(map(str, rows.all()))) for rows in (said, typed))
            if said != typed:
                found.append((str(self.fields[name].label), str(said)))
        return found


class MeasuredForm(PartForm[MeasuredResponse]):
    """A response of one line at a spot; an uploaded file becomes typed text at once."""

    may_be_empty = ("removed_ms",)

    text = forms.CharField(
        label="Hz, dB, degrees: one point a line",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 8, "class": "curve-text", "spellcheck": "false"}),
        help_text="From the processor's output to the sound, with the arrival in the phase. "
        "Commas, semicolons or tabs between the columns.",
    )
    file = forms.FileField(
        label="or a CSV file", required=False, help_text="It replaces what stands here."
    )

    class Meta:
        model = MeasuredResponse
        fields = ["spot", "line", "removed_ms"]

    field_order = ["spot", "line", "text", "file", "removed_ms"]

    def __init__(self, data: Any = None, *args: Any, event: Event, **kwargs: Any) -> None:
        super().__init__(data, *args, event=event, **kwargs)
        if self.instance.pk:
            self.initial["text"] = write_measured(self.instance.curve)
        upload = self.files.get("file") if self.files else None
        if upload is not None:
            self._read_upload(upload)

    def prepare(self) -> None:
        lines: Any = self.fields["line"]
        lines.queryset = DriveLine.objects.filter(event=self.event).order_by("name")
        lines.empty_label = "Choose a line"
        spots: Any = self.fields["spot"]
        spots.queryset = ListeningSpot.objects.filter(event=self.event)

    def _read_upload(self, upload: Any) -> None:
        """What the file says stands in the text, where it can be mended."""
        self._upload_fault = ""
        try:
            text = decode(upload.read(MOST_BYTES + 1), "a response")
        except ValidationError as fault:
            self._upload_fault = fault.messages[0]
            return
        data: Any = self.data.copy()  # type: ignore[attr-defined]
        data["text"] = text
        self.data = data

    def clean(self) -> dict[str, Any]:
        """Read the points."""
        cleaned = super().clean()
        fault = getattr(self, "_upload_fault", "")
        if fault:
            self.add_error("file", fault)
        elif not (cleaned.get("text") or "").strip():
            self.add_error("text", "Paste the points here, or choose a file.")
        else:
            try:
                self.instance.curve = read_measured(cleaned["text"])
            except ValidationError as told:
                self.add_error("text", told)
        return cleaned

    def act(self, person: Person) -> None:
        actions.save_measured(self.instance, self.seen, person)

    def differences(self, stored: MeasuredResponse) -> list[tuple[str, str]]:
        return [("points", str(len(stored.curve["frequency_hz"])))]


MOST_BYTES = 200_000
