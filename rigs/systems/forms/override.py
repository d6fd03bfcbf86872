"""The form of an override: why, and perhaps until when."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from rigs.events.clocks import NoSuchTime, TwiceThatDay, said_time, to_utc
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.describe import Finding
from rigs.systems.faults import NotSaved


class OverrideForm(forms.Form):
    """Reason and expiry; the name is that of who is signed in."""

    use_required_attribute = False

    reason = forms.CharField(
        max_length=300,
        label="reason",
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say why it is right here: it is read on site."},
    )
    expires_at = forms.DateTimeField(
        required=False,
        label="until",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"],
        error_messages={"invalid": "Write a date and a time: 2030-06-01 18:00."},
    )

    def __init__(self, data: Any, *, event: Event) -> None:
        super().__init__(data)
        self.event = event
        self.zone = ZoneInfo(event.space.venue.zone)
        back = said_time(event.back_at.astimezone(self.zone))
        self.fields[
            "expires_at"
        ].help_text = (
            f"At the latest when the kit is back: {back}, {self.zone.key}. Empty: until then."
        )

    def clean_expires_at(self) -> datetime | None:
        """The time typed is the venue's."""
        typed = self.cleaned_data["expires_at"]
        if typed is None:
            return None
        try:
            return to_utc(typed.replace(tzinfo=None), self.zone, "first")
        except (NoSuchTime, TwiceThatDay) as fault:
            raise forms.ValidationError(str(fault)) from fault

    def save_for(self, finding: Finding, person: Person) -> bool:
        """Give the override; False when refused, with the reason in the errors."""
        typed = self.cleaned_data
        try:
            actions.give_override(self.event, finding, person, typed["reason"], typed["expires_at"])
        except NotSaved as refusal:
            for field, sentences in refusal.faults.items():
                for sentence in sentences:
                    self.add_error(field or None, sentence)
            return False
        return True
