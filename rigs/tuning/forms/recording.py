"""A new recording: the file, and what must be known of it."""

from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.faults import NotSaved, field_of_sentence, put_by_field
from rigs.systems.models import DriveLine, ListeningSpot, StageMicrophone
from rigs.tuning import incoming
from rigs.tuning.actions import keep_recording
from rigs.tuning.actions.recordings import Read, read_sound, reference_fault
from rigs.tuning.captured import NotCaptured, read_captured
from rigs.tuning.models import Calibration, Recording
from rigs.tuning.signals import SIGNALS, played, words
from rigs.tuning.wav import NotSound

REFERENCES = [("", "none"), ("1", "channel 1"), ("2", "channel 2")]
TYPE_OF = {"sweep": Recording.Content.SWEEP, "pink noise": Recording.Content.NOISE}


class RecordingForm(forms.ModelForm):
    """The sound comes as an upload, or as the token of one that was put aside (`waiting`)."""

    use_required_attribute = False
    instance: Recording

    signal = forms.ChoiceField(
        label="played from here",
        required=False,
        help_text="The test signal of this page, if it was that. Needed for a transfer function.",
    )
    sound = forms.FileField(
        label="sound file",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".wav,audio/wav"}),
        help_text="WAV, integer of 16, 24 or 32 bits or float, 44.1 to 192 kHz, one or two "
        "channels, up to 200 MB.",
    )
    waiting = forms.CharField(required=False, max_length=300, widget=forms.HiddenInput)
    captured = forms.CharField(required=False, max_length=500, widget=forms.HiddenInput)

    class Meta:
        model = Recording
        fields = [
            "content",
            "spot",
            "microphone",
            "lines",
            "calibration",
            "sensitivity_db",
            "reference_channel",
            "note",
        ]
        widgets = {
            "lines": forms.CheckboxSelectMultiple,
            "reference_channel": forms.Select(choices=REFERENCES),
        }
        labels = {
            "content": "what was played",
            "spot": "where the microphone stood",
            "calibration": "calibration of the microphone",
            "reference_channel": "channel that carries what was played",
        }
        help_texts = {
            "sensitivity_db": "What the meter would show where the rms is full scale. "
            "Empty: levels are relative only.",
            "microphone": "For the ring-out: its channel of the desk recorded, as loud as in the "
            "show, and what was played on the second channel.",
            "reference_channel": "Where the signal was recorded beside the microphone.",
        }

    def __init__(
        self, *args: Any, event: Event, person: Person, too_large: str = "", **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.event = self.instance.event = event
        self.person = person
        self.too_large = too_large
        self.read: Read | None = None
        self.kept_name = ""
        content: Any = self.fields["content"]
        content.choices = [("", "Choose"), *Recording.Content.choices]
        spot: Any = self.fields["spot"]
        spot.queryset = ListeningSpot.objects.filter(event=event).order_by("name")
        spot.empty_label = "Choose a listening spot"
        microphone: Any = self.fields["microphone"]
        microphone.queryset = StageMicrophone.objects.filter(event=event).order_by("name")
        microphone.empty_label = "none"
        lines: Any = self.fields["lines"]
        lines.queryset = DriveLine.objects.filter(event=event).order_by("name")
        calibration: Any = self.fields["calibration"]
        calibration.queryset = Calibration.objects.order_by("name")
        calibration.empty_label = "none: its response is unknown"
        signal: Any = self.fields["signal"]
        signal.choices = [("", "nothing from here"), *((k, words(played(k))) for k in SIGNALS)]

    def clean_sound(self) -> Any:
        """The upload, or what was put aside; looked at once."""
        sound = self.cleaned_data.get("sound")
        if self.too_large:
            raise forms.ValidationError(incoming.TOO_LARGE)
        token = str(self.data.get("waiting", ""))[:300]
        if not sound and token:
            sound = incoming.take(token, self.person.pk)
            if sound is None:
                raise forms.ValidationError("The file is not here any more. Choose it again.")
        if not sound:
            raise forms.ValidationError("Choose a WAV file, or record one on this page.")
        try:
            self.read = read_sound(sound.file)
        except NotSound as fault:
            raise forms.ValidationError(str(fault)) from fault
        return sound

    def clean_captured(self) -> dict[str, Any] | None:
        """What the browser said of its input, where it recorded."""
        text = self.cleaned_data.get("captured")
        if not text:
            return None
        try:
            return read_captured(text).to_plain()
        except NotCaptured as fault:
            raise forms.ValidationError(str(fault)) from fault

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        signal, content = cleaned.get("signal"), cleaned.get("content")
        if signal and content and TYPE_OF[SIGNALS[signal]["kind"]] != content:
            kind = Recording.Content(content).label
            self.add_error("signal", f"This is not what was played: above it says {kind}.")
        if self.read and cleaned.get("reference_channel"):
            fault = reference_fault(cleaned["reference_channel"], self.read[1])
            if fault:
                self.add_error("reference_channel", fault)
        self.instance.played = played(signal) if signal else None
        self.instance.captured = cleaned.get("captured")
        by_browser = cleaned.get("captured") is not None
        source = Recording.Source.RECORDED if by_browser else Recording.Source.UPLOADED
        self.instance.source = source
        return cleaned

    def full_clean(self) -> None:
        """Also put what a constraint forbids by its field, and the sound aside for the next try."""
        super().full_clean()
        for sentence in self.errors.pop(NON_FIELD_ERRORS, []):
            field = field_of_sentence(Recording, str(sentence))
            self.add_error(field if field in self.fields else None, sentence)
        fault = self.errors.get("captured")
        if fault:
            self.add_error("sound", list(fault.data))
        if self.errors:
            self._put_aside()

    def keep(self) -> Recording | None:
        """Store it; None when refused, with the reason by the field and the sound put aside."""
        data = self.cleaned_data
        try:
            return keep_recording(
                self.instance, data["sound"], data["lines"], person=self.person, read=self.read
            )
        except NotSaved as refusal:
            put_by_field(self, refusal.faults)
            self._put_aside(refused="sound" in refusal.faults)
            return None

    def _put_aside(self, *, refused: bool = False) -> None:
        """Keep a sound file that can be used, so that nobody must send it twice."""
        sound = self.cleaned_data.get("sound") or self.files.get("sound")
        data: Any = self.data
        self.data = data.copy()
        if self.read is None or refused or sound is None or "sound" in self.errors:
            self.data["waiting"] = ""  # type: ignore[index]
            return
        self.data["waiting"] = incoming.keep(sound, self.person.pk)  # type: ignore[index]
        self.kept_name = str(getattr(sound, "name", ""))
