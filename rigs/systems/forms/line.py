"""The form of a drive line: where it starts, and the boxes on it in their order."""

from collections import Counter
from collections.abc import Mapping
from typing import Any

from django import forms

from rigs.catalogue.models import Mode
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.requests import typed_number
from rigs.systems import actions, queries
from rigs.systems.faults import NotSaved
from rigs.systems.forms.base import PartForm
from rigs.systems.forms.choices import LineChoices
from rigs.systems.models import AmplifierPlace, DriveLine, Link, ProcessorPlace

MOST_ROWS = actions.MOST_LINKS
MORE = (
    "limiter_basis",
    "limiter_basis_reason",
    "attack_ms",
    "release_ms",
    "nearest_listener_m",
)


class LinkForm(forms.Form):
    """One box on the line and the cable that leads to it."""

    use_required_attribute = False

    box = forms.ChoiceField(required=False, label="box and way")
    start = forms.ChoiceField(
        required=False,
        label="its cable starts at",
        choices=[
            ("before", "the box before, in parallel"),
            ("series", "the box before, in series"),
            ("amplifier", "the amplifier"),
        ],
    )
    cable = forms.ChoiceField(required=False)
    pieces = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=20,
        initial=1,
        label="pieces in a row",
        error_messages={
            "min_value": "At least one piece.",
            "max_value": "More than 20 cables in a row?",
        },
    )

    def __init__(self, *args: Any, choices: LineChoices, first: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.choices = choices
        self.fields["box"].choices = choices.boxes  # type: ignore[attr-defined]
        self.fields["cable"].choices = choices.cables  # type: ignore[attr-defined]
        if first:
            del self.fields["start"]

    @property
    def empty(self) -> bool:
        """Whether nothing was chosen in this row: it is then left out."""
        return not self.cleaned_data.get("box") and not self.cleaned_data.get("cable")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("cable") and not cleaned.get("box") and "box" not in self.errors:
            self.add_error("box", "Say which box this cable leads to, or remove the row.")
        return cleaned

    def link(self, line: DriveLine) -> Link:
        """The row as a link of a line."""
        placement, way = self.choices.box_of[self.cleaned_data["box"]]
        return Link(
            line=line,
            placement=placement,
            way=way,
            cable=self.choices.cable_of.get(self.cleaned_data["cable"]),
            pieces=self.cleaned_data.get("pieces") or 1,
            from_amplifier=self.cleaned_data.get("start", "amplifier") == "amplifier",
            series_with_previous=self.cleaned_data.get("start") == "series",
        )


class LineForm(PartForm[DriveLine]):
    """Processor output, amplifier channel, mode and level control; `rows` are the boxes."""

    class Meta:
        model = DriveLine
        fields = [
            "name",
            "processor_place",
            "output",
            "amplifier_place",
            "first_channel",
            "mode",
            "level_control_db",
            "limiter_basis",
            "limiter_basis_reason",
            "attack_ms",
            "release_ms",
            "nearest_listener_m",
        ]
        labels = {
            "processor_place": "processor",
            "amplifier_place": "amplifier",
            "first_channel": "channel",
        }
        help_texts = {
            "name": "As it is called on site: Sub left.",
            "first_channel": "The first of the two when bridged or parallel.",
            "level_control_db": "0 is fully up; turned down is negative.",
        }
        error_messages = {
            "first_channel": {"min_value": "Channels count from 1."},
            "output": {"min_value": "Outputs count from 1."},
        }

    def __init__(self, data: Any = None, *, event: Event, **kwargs: Any) -> None:
        super().__init__(data, event=event, **kwargs)
        self.choices = LineChoices.of(event, self.instance)
        if data is not None:
            count = row_count(data)
            self.rows = [self._row(n, data=data) for n in range(count)]
        else:
            initials = [_initial(link) for link in self._links()] or [{}]
            self.rows = [self._row(n, initial=values) for n, values in enumerate(initials)]

    def prepare(self) -> None:
        amplifiers = AmplifierPlace.objects.filter(event=self.event)
        field: Any = self.fields["amplifier_place"]
        field.queryset = amplifiers.select_related("amplifier")
        used = queries.channels_used(self.event)
        own = _own_channels(self.instance)
        field.choices = [("", "Choose an amplifier")] + [
            (place.pk, _with_free_channels(place, used.get(place.pk, Counter()), own))
            for place in field.queryset
        ]
        processors = ProcessorPlace.objects.filter(event=self.event).select_related("processor")
        self.fields["mode"].choices = [(m.value, m.value) for m in Mode]  # type: ignore[attr-defined]
        field = self.fields["processor_place"]
        field.queryset = processors
        field.choices = [("", "not stated yet")] + [
            (place.pk, f"{place} ({place.processor.outputs} outputs)") for place in processors
        ]

    @property
    def first_fields(self) -> list[forms.BoundField]:
        """What every line needs."""
        return [self[name] for name in self.fields if name not in MORE]

    @property
    def more_fields(self) -> list[forms.BoundField]:
        """What is only stated where it matters."""
        return [self[name] for name in MORE]

    @property
    def more_open(self) -> bool:
        """Whether something stands in, or is wrong with, what is folded away."""
        return any(field.errors or field.value() not in (None, "") for field in self.more_fields)

    @property
    def has_amplifiers(self) -> bool:
        """Whether there is anything that could drive a line."""
        field: Any = self.fields["amplifier_place"]
        return len(field.choices) > 1

    def retyped(self, data: Mapping[str, Any], do: str) -> "LineForm":
        """The same entries, unchecked, with a row added ("add") or taken away ("remove-2")."""
        names = [*self.fields]
        rows = [
            {name: data.get(f"box-{n}-{name}", "") for name in ROW_FIELDS}
            for n in range(row_count(data))
        ]
        if do == "add" and len(rows) < MOST_ROWS:
            rows.append({"start": "before", "pieces": "1"})
        elif do.startswith("remove-"):
            rows = [row for n, row in enumerate(rows) if do != f"remove-{n}"] or [{}]
        form = LineForm(
            event=self.event,
            instance=self.instance,
            seen=self.seen,
            initial={name: data.get(name, "") for name in names},
        )
        form.rows = [form._row(n, initial=values) for n, values in enumerate(rows)]
        return form

    def is_valid(self) -> bool:
        """Check the line and every row, so that all faults are told at once."""
        faulty_rows = [row for row in self.rows if not row.is_valid()]
        return super().is_valid() and not faulty_rows

    def act(self, person: Person) -> None:
        self._filled = [row for row in self.rows if not row.empty]
        links = [row.link(self.instance) for row in self._filled]
        actions.save_line(self.instance, links, self.seen, person)

    def take(self, refusal: NotSaved) -> None:
        """Faults of the n-th link go to its row."""
        rest = {}
        for field, sentences in refusal.faults.items():
            kind, _, number = field.partition(".")
            if kind == "links" and number:
                for sentence in sentences:
                    self._filled[int(number)].add_error("box", sentence)
            else:
                rest[field] = sentences
        super().take(NotSaved(rest))

    def differences(self, stored: DriveLine) -> list[tuple[str, str]]:
        """Also the boxes that are stored now."""
        boxes = [
            f"{link} by {link.pieces} x {link.cable or 'no cable stated'}"
            for link in stored.links.select_related("placement", "way", "cable")
        ]
        return [*super().differences(stored), ("boxes", "; ".join(boxes) or "none")]

    def _row(self, number: int, **kwargs: Any) -> LinkForm:
        return LinkForm(prefix=f"box-{number}", choices=self.choices, first=number == 0, **kwargs)

    def _links(self) -> list[Link]:
        if self.instance.pk is None:
            return []
        return list(self.instance.links.order_by("order"))


ROW_FIELDS = ("box", "start", "cable", "pieces")


def row_count(data: Mapping[str, Any]) -> int:
    """How many rows a page sent; what is not a number counts as one."""
    count = typed_number(data.get("rows", "1"), digits=3)
    return 1 if count is None else min(max(count, 1), MOST_ROWS)


def _initial(link: Link) -> dict[str, Any]:
    start = "series" if link.series_with_previous else "before"
    return {
        "box": f"{link.placement_id}:{link.way_id}",
        "start": "amplifier" if link.from_amplifier else start,
        "cable": link.cable_id or "",
        "pieces": link.pieces,
    }


def _own_channels(line: DriveLine) -> tuple[int, set[int]]:
    """Which channels of which amplifier the line holds itself: those are free for it."""
    if line.pk is None:
        return 0, set()
    return line.amplifier_place_id, set(range(line.first_channel, line.first_channel + line.width))


def _with_free_channels(
    place: AmplifierPlace, used: Counter[int], own: tuple[int, set[int]]
) -> str:
    held = own[1] if own[0] == place.pk else set()
    free = [str(n) for n in range(1, place.amplifier.channels + 1) if not used[n] or n in held]
    where = f"{place.rack}, " if place.rack else ""
    left = f"free: {', '.join(free)}" if free else "no channel free"
    return f"{where}{place} ({left})"
