"""A microphone's calibration, pasted or as a file."""

from typing import Any

from django import forms

from rigs.catalogue.typed_lines import MOST_CHARACTERS, decode
from rigs.people.models import Person
from rigs.systems.forms.base import SavedByAction
from rigs.tuning.actions import save_calibration
from rigs.tuning.calibrating import read_calibration, write_calibration
from rigs.tuning.models import Calibration

WHAT = "a calibration"


class CalibrationForm(SavedByAction):
    """An uploaded file becomes typed text at once: what is wrong in it can be mended here."""

    instance: Calibration

    table = forms.CharField(
        label="lines of Hz and dB",
        required=False,
        widget=forms.Textarea(attrs={"rows": 10, "cols": 24, "spellcheck": "false"}),
        help_text="What the microphone reads too much: 1000, 0 and 10000, 1.2. "
        "A third column is passed over.",
    )
    file = forms.FileField(
        label="or a file",
        required=False,
        help_text="CSV or text. It takes the place of the lines above.",
    )

    class Meta:
        model = Calibration
        fields = ["name"]
        help_texts = {"name": "Type and serial number, as it stands on the microphone."}

    def __init__(self, *args: Any, seen: int | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.seen = seen if seen is not None else self.instance.version
        if self.instance.curve:
            self.initial["table"] = write_calibration(self.instance.curve)
        self.file_faults: list[str] = []
        upload = self.files.get("file") if self.is_bound else None
        if upload and upload.size:
            self._take(upload)

    def _take(self, upload: Any) -> None:
        try:
            text = decode(upload.read(MOST_CHARACTERS + 1), WHAT)
        except forms.ValidationError as fault:
            self.file_faults = list(fault.messages)
            return
        data: Any = self.data
        self.data = data.copy()
        self.data["table"] = text  # type: ignore[index]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for fault in self.file_faults:
            self.add_error("file", fault)
        if self.file_faults:
            return cleaned
        try:
            self.instance.curve = read_calibration(cleaned.get("table") or "")
        except forms.ValidationError as fault:
            self.add_error("table", fault)
        return cleaned

    def act(self, person: Person) -> None:
        save_calibration(self.instance, self.seen if self.instance.pk else None, person)
