"""The form of a processor's output: what it plays and how, and why that changes."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from rigs.people.models import Person
from rigs.requests import typed_number
from rigs.systems import actions
from rigs.systems.faults import NotSaved
from rigs.systems.forms.filters import (
    FIELDS,
    ROW_OF_FIELD,
    FilterForm,
    filter_initial,
    number_field,
    plain,
)
from rigs.systems.models import Output, OutputFilter, ProcessorPlace, Revision
from rigs.versions import ChangedMeanwhile

DB_PER_OCTAVE = 6
MOST_ROWS = 32
FAMILIES = [("", "none"), *OutputFilter.Family.choices]
SLOPES = [(order, f"{order * DB_PER_OCTAVE} dB/octave") for order in range(1, 9)]
STEEP = 4
PASSES = {"high": (OutputFilter.Kind.HIGH_PASS, "high-pass"),
          "low": (OutputFilter.Kind.LOW_PASS, "low-pass")}  # fmt: skip
CORNER_HELP = "-6 dB for Linkwitz-Riley, else -3 dB."


def _output_number(name: str, label: str, help_text: str = "") -> Any:
    row: Any = Output._meta.get_field(name)
    field: Any = row.formfield(
        required=False,
        label=label,
        help_text=help_text,
        initial=None,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
    )
    field.show_hidden_initial = False
    return field


class OutputForm(forms.Form):
    """Inputs, gain, delay, polarity, both passes; `rows` are the filters.

    `seen` is the number of the revision that the page showed, 0 where there was none. After
    somebody else's save it is raised to theirs, and `met` is what they saved.
    """

    use_required_attribute = False

    inputs = forms.MultipleChoiceField(
        required=False, label="plays inputs", widget=forms.CheckboxSelectMultiple
    )
    gain_db = _output_number("gain_db", "gain, dB", "Input to output. Empty: nobody said.")
    delay_ms = _output_number("delay_ms", "delay, ms")
    inverted = forms.BooleanField(required=False, label="polarity inverted")
    high_family = forms.ChoiceField(required=False, choices=FAMILIES, label="family")
    high_order = forms.TypedChoiceField(
        required=False, choices=SLOPES, coerce=int, empty_value=None, initial=STEEP, label="slope"
    )
    high_hz = number_field("frequency_hz", "corner", "Hz", CORNER_HELP)
    low_family = forms.ChoiceField(required=False, choices=FAMILIES, label="family")
    low_order = forms.TypedChoiceField(
        required=False, choices=SLOPES, coerce=int, empty_value=None, initial=STEEP, label="slope"
    )
    low_hz = number_field("frequency_hz", "corner", "Hz", CORNER_HELP)
    reason = forms.CharField(
        max_length=200,
        label="why",
        help_text="It stands with the revision: Subs back by the stage edge.",
        error_messages={"required": "Say why: the next person will ask."},
    )

    def __init__(
        self,
        data: Any = None,
        *,
        place: ProcessorPlace,
        number: int,
        stored: Output | None,
        seen: int,
        most: int | None,
        initial: dict[str, Any] | None = None,
    ) -> None:
        super().__init__(data, initial=initial if initial is not None else initial_of(stored))
        self.place, self.number, self.stored, self.seen = place, number, stored, seen
        self.most = most
        self.met: Revision | None = None
        inputs: Any = self.fields["inputs"]
        inputs.choices = [(str(n), str(n)) for n in range(1, place.processor.inputs + 1)]
        if data is not None:
            self.rows = [self._row(n, data=data) for n in range(row_count(data))]
        else:
            self.rows = self._rows(map(filter_initial, _sections(stored)))

    def is_valid(self) -> bool:
        """Check the output and every row."""
        faulty = [row for row in self.rows if not row.is_valid()]
        return super().is_valid() and not faulty

    @property
    def can_be_shown(self) -> bool:
        """Whether everything but the reason is right."""
        faulty = [row for row in self.rows if not row.is_valid()]
        return not faulty and not set(self.errors) - {"reason"}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for side, (_, name) in PASSES.items():
            self._clean_pass(cleaned, side, name)
        if cleaned.get("delay_ms") is None and "delay_ms" not in self.errors:
            cleaned["delay_ms"] = 0.0
        return cleaned

    def _clean_pass(self, cleaned: dict[str, Any], side: str, name: str) -> None:
        family, corner = cleaned.get(f"{side}_family"), cleaned.get(f"{side}_hz")
        if f"{side}_hz" in self.errors or f"{side}_family" in self.errors:
            return
        if family and corner is None:
            self.add_error(f"{side}_hz", f"Say at which frequency the {name} has its corner.")
        if corner is not None and not family:
            self.add_error(f"{side}_family", "Say which family, or empty the corner.")
        if (
            family == OutputFilter.Family.LINKWITZ_RILEY
            and (cleaned.get(f"{side}_order") or STEEP) % 2
        ):
            self.add_error(f"{side}_order", "Linkwitz-Riley has 12, 24, 36 or 48 dB/octave.")

    @property
    def first_fields(self) -> list[BoundField]:
        """Gain and delay."""
        return [self["gain_db"], self["delay_ms"]]

    @property
    def passes(self) -> list[tuple[str, list[BoundField]]]:
        """Both passes with their fields."""
        return [
            (name.capitalize(), [self[f"{side}_{part}"] for part in ("family", "order", "hz")])
            for side, (_, name) in PASSES.items()
        ]

    @property
    def room_for_more(self) -> bool:
        """Whether another row could still be a filter of this processor."""
        return len(self.rows) < min(self.most or MOST_ROWS, MOST_ROWS)

    def faults(self) -> list[tuple[str, str]]:
        """Everything that keeps the picture from following, for the answer beside the form."""
        found = [
            (str(self.fields[name].label) if name in self.fields else "", str(sentence))
            for name, sentences in self.errors.items()
            if name != "reason"
            for sentence in sentences
        ]
        for place, row in enumerate(self.rows, start=1):
            for name, sentences in row.errors.items():
                found += [(f"filter {place}, {row.fields[name].label or name}", str(sentence))
                          for sentence in sentences]  # fmt: skip
        return found

    def output(self) -> Output:
        """What was typed, as an output that no revision has yet."""
        entered = self.cleaned_data
        return Output(
            processor_place=self.place,
            number=self.number,
            inputs=sorted(int(each) for each in entered["inputs"]),
            gain_db=entered.get("gain_db"),
            delay_ms=entered["delay_ms"],
            inverted=entered["inverted"],
        )

    def filters(self) -> list[OutputFilter]:
        """Passes first, then the rows that say something, in their order."""
        found = []
        self._fields: list[tuple[forms.Form, dict[str, str]]] = []
        for side, (kind, _) in PASSES.items():
            if self.cleaned_data.get(f"{side}_family"):
                found.append(self._pass(side, kind))
                names = {"frequency_hz": f"{side}_hz", "order": f"{side}_order"}
                self._fields.append((self, names | {"family": f"{side}_family"}))
        for row in self.rows:
            if not row.empty:
                found.append(row.filter())
                self._fields.append((row, ROW_OF_FIELD))
        for position, each in enumerate(found, start=1):
            each.position = position
        return found

    def _pass(self, side: str, kind: str) -> OutputFilter:
        return OutputFilter(
            kind=kind,
            family=self.cleaned_data[f"{side}_family"],
            order=self.cleaned_data[f"{side}_order"] or STEEP,
            frequency_hz=self.cleaned_data[f"{side}_hz"],
        )

    def save_for(self, person: Person) -> bool:
        """Make the next revision; False when refused, with the reason in the errors."""
        try:
            actions.save_output(
                self.output(),
                self.filters(),
                seen=self.seen,
                reason=self.cleaned_data["reason"],
                person=person,
            )
        except NotSaved as refusal:
            self._take(refusal)
            return False
        except ChangedMeanwhile as meanwhile:
            self.add_error(None, str(meanwhile))
            self.met = meanwhile.row  # type: ignore[assignment]
            self.seen = meanwhile.row.number  # type: ignore[attr-defined]
            return False
        return True

    def _take(self, refusal: NotSaved) -> None:
        """Put each sentence by its field, a filter's by its row."""
        for key, sentences in refusal.faults.items():
            form, field = self._place_of(key)
            for sentence in sentences:
                form.add_error(field if field in form.fields else None, sentence)

    def _place_of(self, key: str) -> tuple[forms.Form, str]:
        kind, _, rest = key.partition(".")
        number, _, name = rest.partition(".")
        if kind == "filters" and number.isdecimal() and int(number) < len(self._fields):
            form, names = self._fields[int(number)]
            fallback = "kind" if isinstance(form, FilterForm) else ""
            return form, names.get(name, fallback)
        return self, key

    def retyped(self, data: Mapping[str, Any], do: str) -> "OutputForm":
        """The same entries, unchecked, with a row added ("add") or taken away ("remove-2")."""
        rows = [
            {name: data.get(f"filter-{n}-{name}", "") for name in FIELDS}
            for n in range(row_count(data))
        ]
        if do == "add" and self.room_for_more:
            rows.append({})
        elif do.startswith("remove-"):
            rows = [row for n, row in enumerate(rows) if do != f"remove-{n}"]
        initial = {name: data.get(name, "") for name in self.fields}
        initial["inputs"] = data.getlist("inputs") if hasattr(data, "getlist") else []
        initial["inverted"] = bool(data.get("inverted"))
        form = OutputForm(
            place=self.place,
            number=self.number,
            stored=self.stored,
            seen=self.seen,
            most=self.most,
            initial=initial,
        )
        form.rows = form._rows(rows)
        return form

    def _rows(self, initials: Iterable[dict[str, Any]]) -> list[FilterForm]:
        return [self._row(n, initial=values) for n, values in enumerate(initials)]

    def _row(self, number: int, **kwargs: Any) -> FilterForm:
        return FilterForm(prefix=f"filter-{number}", **kwargs)


def initial_of(stored: Output | None) -> dict[str, Any]:
    """A stored output as its form shows it."""
    if stored is None:
        return {}
    found: dict[str, Any] = {
        "inputs": [str(each) for each in stored.inputs],
        "gain_db": plain(stored.gain_db),
        "delay_ms": plain(stored.delay_ms),
        "inverted": stored.inverted,
    }
    for each in stored.filters.all():
        for side, (kind, _) in PASSES.items():
            if each.kind == kind:
                found[f"{side}_family"], found[f"{side}_order"] = each.family, each.order
                found[f"{side}_hz"] = plain(each.frequency_hz)
    return found


def row_count(data: Mapping[str, Any]) -> int:
    """How many filter rows a page sent; what is not a number counts as none."""
    return min(typed_number(data.get("rows", "0"), digits=3) or 0, MOST_ROWS)


def _sections(stored: Output | None) -> Sequence[OutputFilter]:
    if stored is None:
        return []
    return [each for each in stored.filters.all() if each.kind not in OutputFilter.PASSES]
