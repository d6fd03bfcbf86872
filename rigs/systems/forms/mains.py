"""Forms for mains cables, supports and extra loads."""

from typing import Any

from django import forms

from rigs.catalogue.models import Accessory, Cable
from rigs.people.models import Person
from rigs.systems import actions, queries
from rigs.systems.faults import NotSaved
from rigs.systems.forms.base import PartForm, group_by_kit
from rigs.systems.models import ExtraLoad, RackFeed, Support
from venues.models import Circuit, HangPoint, Supply


class FeedForm(PartForm[RackFeed]):
    """Which rack hangs on which supply, by which cable."""

    load = forms.ChoiceField(label="rack or amplifier")

    class Meta:
        model = RackFeed
        fields = ["supply", "circuit", "phase", "cable", "length_m", "area_mm2"]
        error_messages = {
            "phase": {
                "min_value": "Phases count from 1 to 3.",
                "max_value": "Phases count from 1 to 3.",
            }
        }

    field_order = ["load", "supply", "circuit", "phase", "cable", "length_m", "area_mm2"]

    def prepare(self) -> None:
        load: Any = self.fields["load"]
        racks = sorted(queries.rack_names(self.event))
        alone = queries.amplifiers_in_no_rack(self.event)
        load.choices = [
            ("", "Choose a rack"),
            *((f"rack:{name}", name) for name in racks),
            *((f"amplifier:{place.pk}", f"{place}, by itself") for place in alone),
        ]
        self._alone = {str(place.pk): place for place in alone}
        if self.instance.pk:
            own = self.instance.amplifier_place_id
            load.initial = f"amplifier:{own}" if own else f"rack:{self.instance.rack}"
        space = self.event.space_id
        self._offer("supply", Supply.objects.filter(space=space), "Choose a supply")
        circuits = Circuit.objects.filter(space=space).select_related("supply")
        self._offer("circuit", circuits, "the supply itself")
        mains = Cable.objects.filter(use=Cable.Use.MAINS).order_by("maker", "model")
        self._offer("cable", mains, "")
        group_by_kit(self.fields["cable"], mains, self.event, "none from the catalogue")

    def _offer(self, name: str, rows: Any, empty: str) -> None:
        field: Any = self.fields[name]
        field.queryset, field.empty_label = rows, empty

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        kind, _, value = cleaned.get("load", "").partition(":")
        self.instance.rack = value if kind == "rack" else ""
        self.instance.amplifier_place = self._alone[value] if kind == "amplifier" else None
        return cleaned

    def take(self, refusal: NotSaved) -> None:
        """The form has one field for rack and amplifier."""
        renamed: dict[str, list[str]] = {}
        for field, sentences in refusal.faults.items():
            name = "load" if field in ("rack", "amplifier_place") else field
            renamed.setdefault(name, []).extend(sentences)
        super().take(NotSaved(renamed))

    def differences(self, stored: RackFeed) -> list[tuple[str, str]]:
        """`load` is no field of the model but a property of the same name."""
        kept = [pair for pair in super().differences(stored) if pair[0] != "rack or amplifier"]
        if (stored.rack, stored.amplifier_place_id) != (
            self.instance.rack,
            self.instance.amplifier_place_id,
        ):
            kept.insert(0, ("rack or amplifier", stored.load))
        return kept

    def act(self, person: Person) -> None:
        actions.save_feed(self.instance, self.seen, person)


class SupportForm(PartForm[Support]):
    """A hang point, a stand or a truck, and its marked limit."""

    class Meta:
        model = Support
        fields = ["name", "kind", "hang_point", "accessory", "limit_kg", "carries_kit"]
        help_texts = {
            "name": "As it is called on site: Truss left, Stand 3, Truck 1.",
            "hang_point": "Only for a hang point: the venue's own limit counts.",
            "accessory": "Only for a stand: the limit that its sheet says counts.",
            "limit_kg": "Where another limit is marked. The lowest of all counts.",
            "carries_kit": "Only for a truck.",
        }

    def prepare(self) -> None:
        point: Any = self.fields["hang_point"]
        point.queryset = HangPoint.objects.filter(space=self.event.space_id)
        point.empty_label = "none of the venue's"
        stand: Any = self.fields["accessory"]
        stands = Accessory.objects.filter(carries_kg__isnull=False).order_by("maker", "model")
        stand.queryset = stands
        group_by_kit(stand, stands, self.event, "none from the catalogue")

    def act(self, person: Person) -> None:
        actions.save_support(self.instance, self.seen, person)


class LoadForm(PartForm[ExtraLoad]):
    """Something else that hangs or stands on a support."""

    class Meta:
        model = ExtraLoad
        fields = ["support", "name", "mass_kg"]
        help_texts = {"name": "What it is: Shackles and chain, Rack 1, Cable loom."}

    def prepare(self) -> None:
        field: Any = self.fields["support"]
        field.queryset = Support.objects.filter(event=self.event).order_by("name")
        field.empty_label = "Choose a support"

    def act(self, person: Person) -> None:
        actions.save_load(self.instance, self.seen, person)
