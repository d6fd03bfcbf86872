"""An event's form: times are typed on the venue's clock and kept as UTC."""

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.forms.models import fields_for_model
from django.utils import timezone

from rigs.events import actions, clocks
from rigs.events.models import Event
from rigs.events.refusals import Promised
from rigs.people.models import Person
from rigs.versions import ChangedMeanwhile
from venues.models import Space

TYPED = "%Y-%m-%dT%H:%M"
LONGEST = timedelta(days=366)
FURTHEST = timedelta(days=3653)
TIMES = {
    "out_at": "Buffers for preparation are added before it, by item.",
    "load_in_at": "",
    "show_from": "",
    "show_until": "",
    "back_at": "Buffers for test are added after it, by item.",
}
WHICH = [
    ("", "choose"),
    ("first", "the first, before the clocks go back"),
    ("second", "the second, after the clocks went back"),
]


class LocalTimeField(forms.Field):
    """A local time as the browser sends it, without a zone."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=TYPED)

    def to_python(self, value: Any) -> datetime | None:
        text = str(value or "").strip()
        if not text:
            return None
        for shape in (TYPED, "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"):
            try:
                return datetime.strptime(text, shape)
            except ValueError:
                continue
        raise ValidationError("Give a date and a time, such as 2030-06-01 18:30.")


class EventForm(forms.ModelForm):
    """Plan or change an event. `save` raises nothing: faults stand by their fields."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Event
        fields = (
            "name",
            "space",
            "state",
            *TIMES,
            "audience",
            "crest_factor_db",
            "target_dba",
            "programme_dbu",
            "temperature_c",
            "humidity_pct",
            "pressure_kpa",
            "contact",
            "notes",
        )
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        spaces = Space.objects.select_related("venue").order_by("venue__name", "name")
        self.fields["space"] = forms.ModelChoiceField(spaces, empty_label="choose")
        self.fields["state"] = forms.ChoiceField(choices=self._states())
        self.fields["version"].initial = self.instance.version
        self.fields["pressure_kpa"].required = False
        for name, help_text in TIMES.items():
            label = fields_for_model(Event, [name])[name].label
            self.fields[name] = LocalTimeField(label=label, help_text=help_text)
            self.fields[self.which(name)] = forms.ChoiceField(
                choices=WHICH, required=False, label="Which of the two?"
            )
        if self.instance.pk:
            self._show_local_times()

    def clean_pressure_kpa(self) -> float:
        """Left empty: as at the sea."""
        value = self.cleaned_data["pressure_kpa"]
        return float(
            Event._meta.get_field("pressure_kpa").get_default() if value is None else value
        )

    def _states(self) -> list[tuple[str, str]]:
        """Cancelling has a button of its own, so it can't happen by a slip of the list."""
        cancelled = self.instance.pk and self.instance.state == Event.State.CANCELLED
        open_to = [Event.State.CANCELLED] if cancelled else []
        return [(s.value, s.value) for s in (Event.State.PLANNED, Event.State.CONFIRMED, *open_to)]

    @staticmethod
    def which(name: str) -> str:
        return f"{name}_which"

    def _show_local_times(self) -> None:
        zone = ZoneInfo(self.instance.space.venue.zone)
        for name in TIMES:
            moment = getattr(self.instance, name)
            self.initial[name] = moment.astimezone(zone).strftime(TYPED)
            self.initial[self.which(name)] = clocks.comes_twice(moment, zone)

    @property
    def times(self) -> list[tuple[forms.BoundField, forms.BoundField | None]]:
        """Each time, with the question which one is meant where the clocks go back."""
        return [
            (self[name], self[self.which(name)] if self._asks(name) else None) for name in TIMES
        ]

    def _asks(self, name: str) -> bool:
        return name in self.twice or bool(self[self.which(name)].value())

    @property
    def twice(self) -> set[str]:
        return getattr(self, "_twice", set())

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        space = values.get("space")
        self._twice: set[str] = set()
        for name in TIMES:
            typed = values.get(name)
            if typed is None or space is None:
                setattr(self.instance, name, None)
                values.pop(name, None)
                continue
            try:
                zone = ZoneInfo(space.venue.zone)
                values[name] = clocks.to_utc(typed, zone, values.get(self.which(name), ""))
            except (clocks.NoSuchTime, clocks.TwiceThatDay) as fault:
                if isinstance(fault, clocks.TwiceThatDay):
                    self._twice.add(name)
                self._refuse(name, str(fault))
        self._refuse_unbelievable_years(values)
        return values

    def _refuse(self, name: str, sentence: str) -> None:
        """Tell what is wrong with one time; the model has nothing to add to that."""
        self.add_error(name, sentence)
        setattr(self.instance, name, None)

    def _refuse_unbelievable_years(self, values: dict[str, Any]) -> None:
        """A year that was typed wrong."""
        now = timezone.now()
        changed = [name for name in TIMES if name in values and name in self.changed_data]
        for name in changed:
            if abs(values[name] - now) > FURTHEST:
                side = "ahead" if values[name] > now else "ago"
                year = self[name].value()[:4]
                self._refuse(name, f"{year} is more than ten years {side}. Check the year.")
        out, back = self.cleaned_data.get("out_at"), self.cleaned_data.get("back_at")
        if out and back and back - out > LONGEST:
            self._refuse(
                "back_at",
                f"The kit would be out for {(back - out).days} days. An event lasts a year at "
                "most: check the year, or plan several.",
            )

    def save_as(self, person: Person) -> Event | None:
        """Save through the actions; None where something stands against it, told by the field."""
        values = {name: self.cleaned_data[name] for name in self.Meta.fields}
        try:
            if self.instance.pk is None:
                return actions.plan_event(person, **values)
            seen = self.cleaned_data.get("version") or 0
            return actions.change_event(self.instance, seen, person, **values)
        except Promised as clash:
            self.add_error(self._moved(), str(clash))
        except ChangedMeanwhile as meanwhile:
            self.add_error(None, str(meanwhile))
            self.data = {**dict(self.data.items()), "version": str(meanwhile.row.version)}
        except ValidationError as wrong:
            self.add_error(None, wrong)
        return None

    def _moved(self) -> str | None:
        """The field that a clash is told by: the time that was moved."""
        return next((name for name in ("back_at", "out_at") if name in self.changed_data), None)
