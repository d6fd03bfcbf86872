"""What the forms of a rig's parts share: who saved meanwhile, and refusals by their field."""

from collections.abc import Iterable
from typing import Any, Generic, TypeVar

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS
from django.db.models import Model

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import queries
from rigs.systems.faults import NotSaved, field_of_sentence, put_by_field
from rigs.systems.models import InRig
from rigs.versions import ChangedMeanwhile

Row = TypeVar("Row", bound=InRig)

UNIT_HELP = "Units that are booked for this event. May be chosen later."


class SavedByAction(forms.ModelForm):
    """A form that saves by an action, and tells of a refusal or of somebody else's save.

    `seen` is the version that the page showed; after somebody else's save it is raised to theirs.
    """

    seen: int
    use_required_attribute = False

    def act(self, person: Person) -> None:
        """Call the action."""
        raise NotImplementedError

    def save_for(self, person: Person) -> bool:
        """Save by the action; False when refused, with the reason in the errors."""
        try:
            self.act(person)
        except NotSaved as refusal:
            self.take(refusal)
            return False
        except ChangedMeanwhile as meanwhile:
            self.meet(meanwhile)
            return False
        return True

    def take(self, refusal: NotSaved) -> None:
        """Put each sentence by its field, or on top where there is none."""
        put_by_field(self, refusal.faults)

    def meet(self, meanwhile: ChangedMeanwhile) -> None:
        """Say that somebody else saved; what was typed replaces theirs if it is sent again."""
        self.add_error(None, str(meanwhile))
        self.seen = meanwhile.row.version


class PartForm(SavedByAction, Generic[Row]):
    """A form over one part of an event's rig.

    After somebody else's save `theirs` lists what they stored where it differs from what was
    typed here.
    """

    instance: Row
    may_be_empty: tuple[str, ...] = ()
    """Fields that take the model's default where nothing is typed."""

    def __init__(self, *args: Any, event: Event, seen: int | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.event = event
        self.instance.event = event
        self.seen = seen if seen is not None else self.instance.version
        self.theirs: list[tuple[str, str]] = []
        for name in self.may_be_empty:
            self.fields[name].required = False
        self.prepare()

    def clean(self) -> dict[str, Any]:
        """Put the default where nothing was typed."""
        cleaned = super().clean() or self.cleaned_data
        for name in self.may_be_empty:
            if name not in self.errors and cleaned.get(name) is None:
                cleaned[name] = self._meta.model._meta.get_field(name).get_default()
        return cleaned

    def get_initial_for_field(self, field: forms.Field, field_name: str) -> Any:
        """Stored numbers as people write them: 2, not 2.0."""
        value = super().get_initial_for_field(field, field_name)
        if isinstance(value, float) and value.is_integer():
            return int(value)
        return value

    def prepare(self) -> None:
        """Narrow the choices to this event."""

    def full_clean(self) -> None:
        """Also put what a constraint forbids by the field that mends it."""
        super().full_clean()
        for sentence in self.errors.pop(NON_FIELD_ERRORS, []):
            field = field_of_sentence(type(self.instance), str(sentence))
            self.add_error(field if field in self.fields else None, sentence)

    def meet(self, meanwhile: ChangedMeanwhile) -> None:
        """Also list what they stored where it differs."""
        super().meet(meanwhile)
        self.theirs = self.differences(meanwhile.row)

    def differences(self, stored: Any) -> list[tuple[str, str]]:
        """Label and stored value of every field that differs from what was typed."""
        return [
            (str(self.fields[name].label), shown(getattr(stored, name)))
            for name in self.fields
            if name in self.cleaned_data and getattr(stored, name) != self.cleaned_data[name]
        ]


def shown(value: object) -> str:
    """A stored value in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "nothing" if value in (None, "") else str(value)


class UnitField(forms.ModelChoiceField):
    """A unit, shown with its type."""

    def label_from_instance(self, obj: Any) -> str:
        """Serial first: that is what stands on the label."""
        return f"{obj.serial} ({obj.item})"


def group_by_kit(field: Any, items: Iterable[Model], event: Event, empty: str = "") -> None:
    """Offer what is on the event's kit list first, then the rest of the catalogue."""
    on_kit = queries.kit_item_ids(event)
    groups: dict[str, list[tuple[Any, str]]] = {"On the kit list": [], "Elsewhere in stock": []}
    for item in items:
        group = "On the kit list" if item.pk in on_kit else "Elsewhere in stock"
        groups[group].append((item.pk, str(item)))
    filled = [(name, choices) for name, choices in groups.items() if choices]
    field.choices = [("", empty), *filled] if empty else filled
