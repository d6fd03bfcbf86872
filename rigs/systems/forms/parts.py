"""Forms for placements, amplifiers and processors."""

from typing import Any

from django import forms

from rigs.catalogue.models import Amplifier, Kind, Mixer, Processor
from rigs.people.models import Person
from rigs.stock.models import Unit
from rigs.systems import actions, queries
from rigs.systems.faults import NotSaved
from rigs.systems.forms.base import UNIT_HELP, PartForm, UnitField, group_by_kit
from rigs.systems.models import (
    AmplifierPlace,
    MixerPlace,
    Placement,
    ProcessorPlace,
    RigChoice,
    Support,
)


class WithUnit(PartForm):
    """A part that names its type and, perhaps, the unit."""

    kind: Kind
    type_field: str

    def prepare(self) -> None:
        units = queries.offered_units(self.event, self.kind, self.instance.unit)
        field = UnitField(
            queryset=Unit.objects.filter(pk__in=[unit.pk for unit in units])
            .select_related("item")
            .order_by("item__maker", "item__model", "serial"),
            required=False,
            empty_label="not chosen yet",
            help_text=UNIT_HELP,
        )
        self.fields["unit"] = field
        group_by_kit(self.fields[self.type_field], self.types(), self.event, "Choose a type")

    def types(self) -> Any:
        """The types of this kind, by name."""
        raise NotImplementedError


class PlacementForm(WithUnit):
    """Which loudspeaker stands where, aimed where."""

    kind = Kind.LOUDSPEAKER
    type_field = "loudspeaker"
    may_be_empty = ("roll_deg",)

    class Meta:
        model = Placement
        fields = [
            "name",
            "loudspeaker",
            "unit",
            "x_m",
            "y_m",
            "z_m",
            "azimuth_deg",
            "tilt_deg",
            "roll_deg",
            "group",
            "support",
        ]
        labels = {"support": "hangs or stands on"}
        help_texts = {
            "name": "As it is called on site: Top left, Sub 3.",
            "x_m": "To the right of someone on stage who looks at the audience.",
            "y_m": "Away from the stage into the audience.",
            "z_m": "Of the middle of the box above the floor in front of the stage.",
            "support": "For the sums of weight. Leave empty if it stands on the floor.",
        }

    def prepare(self) -> None:
        super().prepare()
        field: Any = self.fields["support"]
        field.queryset = Support.objects.filter(event=self.event).order_by("name")
        field.empty_label = "nothing listed"

    def types(self) -> Any:
        return queries.loudspeakers()

    def act(self, person: Person) -> None:
        actions.save_placement(self.instance, self.seen, person)


class AmplifierPlaceForm(WithUnit):
    """An amplifier that travels, and the rack that it travels in."""

    kind = Kind.AMPLIFIER
    type_field = "amplifier"

    class Meta:
        model = AmplifierPlace
        fields = ["name", "rack", "amplifier", "unit", "gain_db", "linked_inputs"]
        help_texts = {
            "name": "As it is called on site: Amp 1, Monitor amp.",
            "rack": "The case it travels in. Leave empty if it stands alone.",
        }

    def types(self) -> Any:
        return Amplifier.objects.order_by("maker", "model")

    def act(self, person: Person) -> None:
        actions.save_amplifier_place(self.instance, self.seen, person)


class ProcessorPlaceForm(WithUnit):
    """A loudspeaker processor that travels."""

    kind = Kind.PROCESSOR
    type_field = "processor"

    class Meta:
        model = ProcessorPlace
        fields = ["name", "processor", "unit"]
        help_texts = {"name": "As it is called on site: Processor A."}

    def types(self) -> Any:
        return Processor.objects.order_by("maker", "model")

    def act(self, person: Person) -> None:
        actions.save_processor_place(self.instance, self.seen, person)


class MixerPlaceForm(PartForm[MixerPlace]):
    """The event's mixer, from the catalogue or by its figures."""

    class Meta:
        model = MixerPlace
        fields = ["name", "mixer", "max_output_dbu", "output_noise_dbu"]
        help_texts = {
            "name": "As it is called on site: Front of house.",
            "mixer": "Leave empty for a mixer that is not ours, and type its figures if known.",
        }

    def prepare(self) -> None:
        field: Any = self.fields["mixer"]
        field.empty_label = "not ours"
        group_by_kit(field, Mixer.objects.order_by("maker", "model"), self.event, "not ours")

    def act(self, person: Person) -> None:
        actions.save_mixer_place(self.instance, self.seen, person)


class ChoicesForm(PartForm[RigChoice]):
    """What the sums of this event stand on, where it differs from the house's choice."""

    may_be_empty = ("coherent_below_hz", "equivalent_distance_m")

    class Meta:
        model = RigChoice
        fields = [
            "conductor_resistance",
            "cable_temperature_c",
            "limiter_basis",
            "limiter_basis_reason",
            "coherent_below_hz",
            "equivalent_distance_m",
        ]

    def act(self, person: Person) -> None:
        actions.save_choices(self.instance, self.seen, person)


class SeveralForm(forms.Form):
    """Several boxes of one type in a straight row, named with numbers."""

    use_required_attribute = False

    loudspeaker = forms.ModelChoiceField(queryset=queries.loudspeakers())
    count = forms.IntegerField(
        label="how many", initial=4, min_value=2, max_value=48, help_text="From 2 to 48."
    )
    stem = forms.CharField(
        label="name without number", max_length=36, help_text="Sub gives Sub 1, Sub 2 ..."
    )
    first_number = forms.IntegerField(initial=1, min_value=0, max_value=900)
    x_m = forms.FloatField(label="x of the first in m", initial=0)
    y_m = forms.FloatField(label="y of the first in m", initial=0)
    z_m = forms.FloatField(label="height in m", initial=0.5)
    spacing_m = forms.FloatField(
        label="spacing in m",
        initial=1.2,
        min_value=0,
        max_value=200,
        help_text="Between the middles of neighbours.",
    )
    direction_deg = forms.FloatField(
        label="the row runs towards",
        initial=90,
        min_value=-180,
        max_value=360,
        help_text="Degrees clockwise from the y axis: 90 runs along x, 0 away from the stage.",
    )
    azimuth_deg = forms.FloatField(
        label="azimuth in degrees",
        initial=0,
        help_text="0 looks away from the stage, clockwise seen from above.",
    )
    tilt_deg = forms.FloatField(
        label="tilt in degrees", initial=0, help_text="Negative looks down."
    )

    def __init__(self, *args: Any, event: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.event = event
        group_by_kit(self.fields["loudspeaker"], queries.loudspeakers(), event, "Choose a type")

    def save_for(self, person: Person) -> bool:
        """Place them all, or none with the reasons by their fields."""
        values = dict(self.cleaned_data)
        try:
            actions.place_row(self.event, person, **values)
        except NotSaved as refusal:
            for field, sentences in refusal.faults.items():
                named = {"name": "stem"}.get(field, field)
                for sentence in sentences:
                    self.add_error(named if named in self.fields else None, sentence)
            return False
        return True
