"""Stage microphones."""

from typing import Any

from django import forms

from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.forms.base import PartForm, shown
from rigs.systems.models import DriveLine, StageMicrophone


class MicrophoneForm(PartForm[StageMicrophone]):
    """A microphone at its show place, what it hears and how near its source is."""

    may_be_empty = ("x_m", "y_m", "z_m", "azimuth_deg", "tilt_deg")

    class Meta:
        model = StageMicrophone
        fields = [
            "name",
            "x_m",
            "y_m",
            "z_m",
            "azimuth_deg",
            "tilt_deg",
            "pattern",
            "source_m",
            "is_open",
            "equivalent_m",
            "not_played_by",
        ]
        widgets = {"not_played_by": forms.CheckboxSelectMultiple}
        help_texts = {
            "name": "As it is called on site: Lectern, Lead vocal.",
            "x_m": "To the right of someone on stage who looks at the audience.",
            "y_m": "Away from the stage into the audience: behind the stage's edge it is negative.",
            "z_m": "Above the floor in front of the stage.",
            "azimuth_deg": "Where its front looks, clockwise seen from above: 0 into the audience, "
            "180 to the back of the stage, towards a singer who faces the audience.",
            "tilt_deg": "Negative looks down.",
            "pattern": "As its data sheet says.",
            "source_m": "From mouth or instrument to the microphone. Without it nothing can be "
            "checked.",
            "not_played_by": "Lines that do not get it: a lectern is not in the monitors.",
        }

    def prepare(self) -> None:
        field: Any = self.fields["not_played_by"]
        field.queryset = DriveLine.objects.filter(event=self.event).order_by("name")

    def act(self, person: Person) -> None:
        kept_out = self.cleaned_data["not_played_by"]
        actions.save_microphone(self.instance, list(kept_out), self.seen, person)

    def differences(self, stored: StageMicrophone) -> list[tuple[str, str]]:
        """Lines are told by their names."""
        lines = "not_played_by"
        found = [
            (str(self.fields[name].label), shown(getattr(stored, name)))
            for name in self.fields
            if name != lines and getattr(stored, name) != self.cleaned_data.get(name)
        ]
        theirs, typed = (
            ", ".join(sorted(map(str, rows.all())))
            for rows in (stored.not_played_by, self.cleaned_data[lines])
        )
        return found + ([(str(self.fields[lines].label), shown(theirs))] if theirs != typed else [])
