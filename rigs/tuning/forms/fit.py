"""What a fit shall do: where to, how far, and on which outputs."""

from typing import Any

from django import forms
from django.db.models import Q

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.describe.sheets import graphic_dial
from rigs.systems.faults import NotSaved, put_by_field
from rigs.systems.filters import free_filters
from rigs.systems.models import DriveLine, ProcessorPlace
from rigs.tuning.actions import ask_fit
from rigs.tuning.actions.equalisations import not_in_what_was_heard
from rigs.tuning.analyse.fitting import (
    MOST_BOOST_DB,
    OWN_TARGETS,
    USUAL_BOOST_DB,
    inputs,
    limits_of,
    own_target,
    target_of,
)
from rigs.tuning.analyse.usable import Usable
from rigs.tuning.models import Equalisation, TargetCurve
from rigs.tuning.queries import box_types

PEAKS, GRAPHIC = "peaks", "graphic"
BY = {
    PEAKS: "filters, as few as do it",
    GRAPHIC: "a 31-band graphic equaliser",
}


class FitForm(forms.Form):
    """Bounds have the usual values; the outputs are those that feed the lines that played."""

    use_required_attribute = False

    target = forms.ChoiceField(label="target curve")
    outputs = forms.MultipleChoiceField(
        label="outputs that get the filters",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose one output at least."},
    )
    part = forms.ChoiceField(
        label="what it mends",
        choices=Equalisation.Part.choices,
        initial=Equalisation.Part.VENUE,
        help_text="Filters for the room may start the next event here, whatever the rig. Those for "
        "the boxes are never carried over to other boxes.",
    )
    means = forms.ChoiceField(label="by", choices=list(BY.items()), initial=PEAKS)
    boost_db = forms.FloatField(
        label="most lift in dB",
        initial=USUAL_BOOST_DB,
        min_value=0,
        max_value=MOST_BOOST_DB,
        help_text="Of all filters together. 3 dB usual, 6 dB at most (common practice, no "
        "source). 0: cut only.",
        error_messages={
            "max_value": f"More than {MOST_BOOST_DB:g} dB takes too much headroom: a lack that "
            "deep is not mended by a filter.",
            "min_value": "0 dB at least.",
        },
    )
    filters = forms.IntegerField(
        label="most filters",
        required=False,
        min_value=1,
        max_value=64,
        help_text="Empty: as many as the processor has free.",
        error_messages={"min_value": "One filter at least, or leave it empty."},
    )
    low_hz = forms.FloatField(label="from Hz", initial=30, min_value=20, max_value=10_000)
    high_hz = forms.FloatField(label="to Hz", initial=16_000, min_value=100, max_value=20_000)

    def __init__(self, data: Any = None, *, event: Event, usable: Usable) -> None:
        super().__init__(data)
        self.event, self.usable = event, usable
        self.places = {
            place.pk: place
            for place in ProcessorPlace.objects.filter(event=event)
            .select_related("processor")
            .prefetch_related("processor__dials", "processor__slopes")
        }
        self.curves = {
            f"row:{row.pk}": row
            for row in TargetCurve.objects.filter(
                Q(venue__isnull=True) | Q(venue=event.space.venue)
            )
        }
        self._offer_targets()
        self._offer_outputs()

    def _offer_targets(self) -> None:
        field: Any = self.fields["target"]
        own = [(f"own:{name}", name) for name in OWN_TARGETS]
        rows = [(key, str(row)) for key, row in self.curves.items()]
        field.choices = own + rows
        field.initial = "own:gentle slope"

    def _offer_outputs(self) -> None:
        """What feeds the lines that played comes first and is ticked; nothing else is offered."""
        fed: dict[tuple[int, int], list[str]] = {}
        for line in self.usable.lines:
            if line.processor_place_id is not None and line.output is not None:
                fed.setdefault((line.processor_place_id, line.output), []).append(str(line))
        field: Any = self.fields["outputs"]
        field.choices = [
            (f"{place}:{number}", f"{self.places[place]}, output {number}: {', '.join(names)}")
            for (place, number), names in sorted(fed.items())
        ]
        first = min((place for place, _ in fed), default=None)
        field.initial = [f"{place}:{number}" for place, number in sorted(fed) if place == first]
        self._offer_means({place for place, _ in fed})

    def _offer_means(self, fed: set[int]) -> None:
        """A graphic equaliser only where one of the processors has one; which, is said."""
        having = [str(self.places[key]) for key in sorted(fed) if self._has_graphic(key)]
        field: Any = self.fields["means"]
        if having:
            field.help_text = (
                f"{' and '.join(having)} {'has' if len(having) == 1 else 'have'} a graphic "
                "equaliser: its bands are set by hand, from a table."
            )
        else:
            field.choices = [(PEAKS, BY[PEAKS])]
            field.help_text = "No processor that feeds what played has a graphic equaliser."
            field.error_messages["invalid_choice"] = field.help_text

    def _has_graphic(self, place: int) -> bool:
        return graphic_dial(self.places[place].processor) is not None

    @property
    def nothing_to_fit(self) -> str:
        """Why nothing can be asked for; "" where it can."""
        if not self.usable.spots:
            return (
                "No spot has a result that tells what is heard there. Record a sweep or pink "
                "noise at a listening spot first."
            )
        if not self.usable.lines:
            return "Nobody said which lines played. Say it on the recordings."
        offered: Any = self.fields["outputs"]
        if not offered.choices:
            return "No processor output feeds the lines that played: connect them in the rig."
        return ""

    def clean_outputs(self) -> tuple[ProcessorPlace, list[int]]:
        """The one place and its numbers."""
        place, numbers = one_place(self.cleaned_data["outputs"], self.places)
        fault = not_in_what_was_heard(place, numbers, self.usable.recorded_at)
        if fault:
            raise forms.ValidationError(fault)
        return place, numbers

    def clean(self) -> dict[str, Any]:
        """The range rises by an octave at least."""
        cleaned = super().clean() or self.cleaned_data
        low, high = cleaned.get("low_hz"), cleaned.get("high_hz")
        if low is not None and high is not None and high < 2 * low:
            self.add_error("high_hz", "The range must span an octave at least.")
        return cleaned

    def ask(self, person: Person) -> Equalisation | None:
        """Ask for the fit; None when refused, with the reason in the errors."""
        typed = self.cleaned_data
        place, numbers = typed["outputs"]
        try:
            frozen = inputs(
                self.usable.spots,
                self._target(typed["target"]),
                place.processor,
                self._limits(place, numbers),
                graphic_equaliser=typed["means"] == GRAPHIC,
            )
        except ValueError as why:
            self.add_error("means", str(why))
            return None
        try:
            return ask_fit(place, numbers, typed["part"], frozen, person)
        except NotSaved as refusal:
            put_by_field(self, refusal.faults)
            return None

    def _limits(self, place: ProcessorPlace, numbers: list[int]) -> Any:
        typed = self.cleaned_data
        free = free_filters(place, numbers)
        asked = typed["filters"]
        most = asked if free is None else min(free, free if asked is None else asked)
        return limits_of(typed["boost_db"], most, typed["low_hz"], typed["high_hz"])

    def _target(self, key: str) -> Any:
        if key in self.curves:
            row = self.curves[key]
            return target_of(str(row), row.points)
        return own_target(key.removeprefix("own:"))


class TakeForm(forms.Form):
    """Into the processing: why, and whether the gain makes up for the level."""

    use_required_attribute = False

    reason = forms.CharField(
        label="why",
        max_length=200,
        error_messages={"required": "Say why: it stands in the revisions."},
    )
    with_gain = forms.BooleanField(label="also change the gain", required=False)


class CarryForm(forms.Form):
    """Filters of an earlier event here, for outputs of this one's processors."""

    use_required_attribute = False

    outputs = forms.MultipleChoiceField(
        label="outputs that get them",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose one output at least."},
    )
    reason = forms.CharField(
        label="why",
        max_length=200,
        error_messages={"required": "Say why: it stands in the revisions."},
    )

    def __init__(self, data: Any = None, *, event: Event, initial: Any = None) -> None:
        super().__init__(data, initial=initial)
        rows = DriveLine.objects.filter(event=event, processor_place__isnull=False)
        self.places: dict[int, ProcessorPlace] = {}
        fed: dict[tuple[str, int, int], list[str]] = {}
        for line in rows.select_related("processor_place__processor", "processor_place__event"):
            place = line.processor_place
            if place is not None and line.output is not None:
                self.places[place.pk] = place
                fed.setdefault((str(place), place.pk, line.output), []).append(str(line))
        types = box_types(self.places)
        field: Any = self.fields["outputs"]
        field.choices = [
            (
                f"{place}:{number}",
                f"{name}, output {number}: {', '.join(sorted(lines))} "
                f"({', '.join(sorted(types.get((place, number), {'no box'})))})",
            )
            for (name, place, number), lines in sorted(fed.items())
        ]

    def clean_outputs(self) -> tuple[ProcessorPlace, list[int]]:
        """The one place and its numbers."""
        return one_place(self.cleaned_data["outputs"], self.places)


def one_place(
    keys: list[str], places: dict[int, ProcessorPlace]
) -> tuple[ProcessorPlace, list[int]]:
    """The processor place that all keys name, and the numbers of its outputs, rising."""
    chosen = [tuple(map(int, key.split(":"))) for key in keys]
    if len({place for place, _ in chosen}) > 1:
        raise forms.ValidationError(
            "These are outputs of several processors: take one processor at a time."
        )
    return places[chosen[0][0]], sorted(number for _, number in chosen)
