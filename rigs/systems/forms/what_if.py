"""The form of a what-if: filled with what the line has now."""

from typing import Any

from django import forms

from rigs.catalogue.models import Amplifier, Cable, Mode
from rigs.events.models import Event
from rigs.systems import queries
from rigs.systems.faults import put_by_field
from rigs.systems.forms.base import group_by_kit
from rigs.systems.forms.choices import cable_words
from rigs.systems.models import DriveLine
from rigs.systems.what_if import Change

PREFIX = "try"


class WhatIfForm(forms.Form):
    """Another amplifier type, gain, mode, channel, level control, cable or pieces."""

    use_required_attribute = False

    amplifier = forms.ModelChoiceField(queryset=Amplifier.objects.none(), empty_label=None)
    gain_db = forms.FloatField(
        required=False, label="gain setting in dB", help_text="Empty: as its sheet says."
    )
    mode = forms.ChoiceField(choices=[(m.value, m.value) for m in Mode])
    first_channel = forms.IntegerField(label="channel", min_value=1, max_value=64)
    level_control_db = forms.FloatField(label="level control in dB", help_text="0 is fully up.")
    run = forms.ChoiceField(label="which cable", required=False)
    cable = forms.ModelChoiceField(
        queryset=Cable.objects.none(), required=False, label="another cable", empty_label="as it is"
    )
    pieces = forms.IntegerField(
        required=False,
        label="pieces in a row",
        min_value=1,
        max_value=20,
        help_text="Empty: as it is.",
    )

    def __init__(self, data: Any, *, event: Event, line: DriveLine) -> None:
        place = line.amplifier_place
        initial = {
            "amplifier": place.amplifier_id,
            "gain_db": place.gain_db,
            "mode": line.mode,
            "first_channel": line.first_channel,
            "level_control_db": line.level_control_db,
        }
        self.line = line
        super().__init__(data, prefix=PREFIX, initial=initial)
        self._offer(event)

    def _offer(self, event: Event) -> None:
        amplifier: Any = self.fields["amplifier"]
        amplifier.queryset = Amplifier.objects.order_by("maker", "model")
        group_by_kit(amplifier, amplifier.queryset, event)
        cable: Any = self.fields["cable"]
        cable.queryset = queries.loudspeaker_cables()
        cable.choices = [("", "as it is"), *((c.pk, cable_words(c)) for c in cable.queryset)]
        run: Any = self.fields["run"]
        links = list(self.line.links.all())
        each = [(str(n), f"to {link.placement} {link.way}") for n, link in enumerate(links)]
        run.choices = [("", "every cable of the line"), *each]

    def get_initial_for_field(self, field: forms.Field, field_name: str) -> Any:
        """Stored numbers as people write them: 2, not 2.0."""
        value = super().get_initial_for_field(field, field_name)
        return int(value) if isinstance(value, float) and value.is_integer() else value

    def change(self) -> Change:
        """What was typed. A new type of amplifier stands at its own gain unless one is chosen."""
        typed = self.cleaned_data
        place = self.line.amplifier_place
        gain = typed["gain_db"]
        if typed["amplifier"].pk != place.amplifier_id and gain == place.gain_db:
            gain = None
        return Change(
            amplifier=typed["amplifier"],
            gain_db=gain,
            mode=typed["mode"],
            first_channel=typed["first_channel"],
            level_control_db=typed["level_control_db"],
            run=int(typed["run"]) if typed["run"] else None,
            cable=typed["cable"],
            pieces=typed["pieces"],
        )

    def take(self, faults: Any) -> None:
        """Put each sentence by its field, or on top where there is none."""
        put_by_field(self, faults)
