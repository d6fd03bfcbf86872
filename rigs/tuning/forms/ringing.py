"""What people fill in during a ring-out, mostly with one thumb."""

from typing import Any

from django import forms

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.actions import log_entry, place_notch, room_for_notches, set_up_ring_out
from rigs.systems.faults import NotSaved, put_by_field
from rigs.systems.filters import taken_filters
from rigs.systems.forms.base import SavedByAction
from rigs.systems.models import ProcessorPlace, RingEntry, RingNotch, RingOut, StageMicrophone
from rigs.systems.models.ringing import MOST_NOTCHES
from rigs.systems.rung import Ringing
from rigs.tuning.actions import ask_notch_plan
from rigs.tuning.analyse.looping import inputs, q_of, shared
from rigs.tuning.models import NotchPlan, Recording

WIDTHS = (("0.333", "1/3 octave"), ("0.167", "1/6 octave"), ("0.1", "1/10 octave"))
USUAL_DB = -6
USUAL_NOTCHES = 12
USUAL_WIDTH = {RingOut.Material.SPEECH: "0.167", RingOut.Material.MUSIC: "0.1"}


class RingOutForm(SavedByAction):
    """Which outputs get the notches; half of them stay in reserve unless said."""

    instance: RingOut
    reserve = forms.IntegerField(
        label="of them in reserve for the show",
        required=False,
        min_value=0,
        help_text="Empty: half of them.",
    )
    notches = forms.IntegerField(
        label="notches in all",
        required=False,
        help_text=f"Empty: as many as the outputs have filters free, {USUAL_NOTCHES} at most.",
    )
    outputs = forms.CharField(
        label="its outputs",
        help_text="By number: 1, 2. Best the inputs' way of all that plays the microphones.",
        error_messages={"required": "Name one output at least."},
    )

    class Meta:
        model = RingOut
        fields = ["processor_place", "outputs", "material", "notches", "reserve"]

    def __init__(self, data: Any = None, *, event: Event, instance: RingOut | None) -> None:
        row = instance or RingOut(event=event)
        super().__init__(data, instance=row)
        self.seen = row.version
        place: Any = self.fields["processor_place"]
        place.queryset = ProcessorPlace.objects.filter(event=event).order_by("name")
        place.label, place.empty_label = "processor", "Choose a processor"
        if row.pk:
            self.initial["outputs"] = ", ".join(map(str, row.outputs))

    def clean_outputs(self) -> list[int]:
        """Numbers from 1, each once, rising."""
        typed = str(self.cleaned_data["outputs"]).replace(",", " ").split()
        if not typed or not all(one.isdecimal() and 0 < int(one) <= 64 for one in typed):
            raise forms.ValidationError("Write numbers of outputs, as in 1, 2.")
        return sorted({int(one) for one in typed})

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        place, outputs = cleaned.get("processor_place"), cleaned.get("outputs")
        if "notches" in cleaned and cleaned["notches"] is None and place and outputs:
            room = room_for_notches(place, outputs)
            cleaned["notches"] = USUAL_NOTCHES if room is None else max(1, min(USUAL_NOTCHES, room))
        if cleaned.get("reserve") is None and cleaned.get("notches"):
            _, cleaned["reserve"] = shared(cleaned["notches"])
        return cleaned

    def act(self, person: Person) -> None:
        set_up_ring_out(self.instance, self.seen if self.instance.pk else None, person)


class NotchForm(forms.ModelForm):
    """A notch by frequency, depth and width."""

    use_required_attribute = False
    instance: RingNotch

    octaves = forms.ChoiceField(label="width", choices=WIDTHS)
    from_reserve = forms.BooleanField(label="from the reserve", required=False)

    class Meta:
        model = RingNotch
        fields = ["frequency_hz", "gain_db", "microphone"]

    field_order = ["frequency_hz", "gain_db", "octaves", "microphone", "from_reserve"]

    def __init__(
        self, data: Any = None, *, event: Event, ring_out: RingOut | None, **kwargs: Any
    ) -> None:
        super().__init__(data, instance=RingNotch(event=event), auto_id="notch_%s", **kwargs)
        microphones: Any = self.fields["microphone"]
        microphones.queryset = StageMicrophone.objects.filter(event=event).order_by("name")
        microphones.empty_label = "any"
        width: Any = self.fields["octaves"]
        width.initial = USUAL_WIDTH[RingOut.Material(ring_out.material)] if ring_out else "0.167"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("octaves"):
            self.instance.q = round(q_of(float(cleaned["octaves"])), 2)
        return cleaned

    def _get_validation_exclusions(self) -> set[str]:
        # The action tells every fault, with the width in it.
        return {*super()._get_validation_exclusions(), "q"}  # type: ignore[misc]

    def save_for(self, person: Person, origin: str = RingNotch.Origin.TYPED) -> bool:
        """Place it; False when refused, with the reason in the errors."""
        self.instance.origin = origin
        try:
            place_notch(self.instance, person, from_reserve=self.cleaned_data["from_reserve"])
        except NotSaved as refusal:
            put_by_field(self, refusal.faults)
            return False
        return True


def usual_notch(ring_out: RingOut | None) -> dict[str, Any]:
    """How deep and wide a notch is that is placed by one tap."""
    material = RingOut.Material(ring_out.material) if ring_out else RingOut.Material.SPEECH
    return {"gain_db": USUAL_DB, "octaves": USUAL_WIDTH[material]}


def heard_notch(data: Any, *, event: Event, ring_out: RingOut | None) -> NotchForm:
    """The form of a notch at a heard tone: only where and for which microphone is said."""
    said = {name: data.get(name, "") for name in ("frequency_hz", "microphone", "from_reserve")}
    return NotchForm(usual_notch(ring_out) | said, event=event, ring_out=ring_out)


class EntryForm(forms.ModelForm):
    """A line of the log."""

    use_required_attribute = False
    instance: RingEntry

    microphone = forms.ChoiceField(label="microphone")

    class Meta:
        model = RingEntry
        fields = ["microphone", "ended", "level_db", "frequency_hz", "note"]

    def __init__(self, data: Any = None, *, event: Event, **kwargs: Any) -> None:
        super().__init__(data, instance=RingEntry(event=event), auto_id="entry_%s", **kwargs)
        names = StageMicrophone.objects.filter(event=event).order_by("name")
        field: Any = self.fields["microphone"]
        field.choices = [(str(one), str(one)) for one in names] + [("all", "all together")]
        level: Any = self.fields["level_db"]
        level.help_text = "Against its show position: 6 is 6 dB beyond it, -3 is 3 dB below."

    def clean(self) -> dict[str, Any]:
        """Who says that it rang says at which level."""
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("level_db") is None and "level_db" not in self.errors:
            self.add_error("level_db", "Say how far it was raised: 6 for 6 dB beyond its place.")
        return cleaned

    def save_for(self, person: Person) -> bool:
        """Write it; False when refused."""
        try:
            log_entry(self.instance, person)
        except NotSaved as refusal:
            put_by_field(self, refusal.faults)
            return False
        return True


class PlanForm(forms.Form):
    """Which microphones' loops, and how loud they were measured against the show."""

    use_required_attribute = False

    recordings = forms.MultipleChoiceField(
        label="measured loops",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose one microphone at least."},
    )
    offset_db = forms.FloatField(
        label="show position above the measured, in dB",
        required=False,
        min_value=-60,
        max_value=60,
        help_text="0: measured just as it will play. Empty: nobody knows; then only how far each "
        "ring lies behind the first is told.",
    )
    placed = forms.IntegerField(
        label="most notches",
        required=False,
        min_value=1,
        max_value=MOST_NOTCHES,
        help_text="Empty: as many as the sheet has left, the reserve kept.",
    )

    def __init__(self, data: Any = None, *, event: Event, loops: list[Recording], now: Ringing):
        super().__init__(data)
        self.event, self.now = event, now
        self.loops = {str(row.pk): row for row in loops}
        field: Any = self.fields["recordings"]
        field.choices = [(key, str(row.microphone)) for key, row in self.loops.items()]
        field.initial = list(self.loops)

    @property
    def cannot(self) -> str:
        """Why nothing can be asked for; "" where it can."""
        if self.now.ring_out is None:
            return "Say first, on the sheet, which outputs get the notches."
        if not self.loops:
            return (
                "No stage microphone's loop was recorded: play a sweep through the system and "
                "record the microphone's channel of the desk, what was played beside it."
            )
        if not self.now.free:
            return "All notches but the reserve are placed."
        return ""

    def ask(self, person: Person) -> NotchPlan:
        """Ask for the plan."""
        ring_out = self.now.ring_out
        assert ring_out is not None
        typed = self.cleaned_data
        place = ring_out.processor_place
        frozen = inputs(
            [row for key, row in self.loops.items() if key in typed["recordings"]],
            place.processor,
            material=str(ring_out.material),
            placed=min(self.now.free, typed["placed"] or self.now.free),
            reserve=self.now.in_reserve,
            # What waits on the sheet will need filters too.
            taken=taken_filters(place, ring_out.outputs) + len(self.now.waiting),
            offset_db=typed["offset_db"],
        )
        return ask_notch_plan(self.event, frozen, person)
