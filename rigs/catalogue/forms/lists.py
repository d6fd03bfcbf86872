"""The lists below an item, and one more row in them."""

from typing import Any

from django import forms

from rigs.catalogue.forms.abilities import AbilitiesForm
from rigs.catalogue.forms.rows import EndForm, ModeForm, RatingForm
from rigs.catalogue.forms.ways import WayForm
from rigs.catalogue.models import (
    Amplifier,
    AmplifierMode,
    End,
    Item,
    Kind,
    Loudspeaker,
    Rating,
    Way,
)


class ListFormSet(forms.BaseInlineFormSet):
    """Rows below an item; says in a sentence when two of them are the same."""

    def get_unique_error_message(self, unique_check: Any) -> str:
        return "Two rows say the same: " + ", ".join(unique_check) + ". Change or remove one."

    def get_form_error(self) -> str:
        return "This row repeats another one."


class EndFormSet(ListFormSet):
    """Also sees two rows that name the same new connector."""

    def clean(self) -> None:
        super().clean()
        seen: set[tuple[str, str]] = set()
        for form in self.forms:
            data = getattr(form, "cleaned_data", {})
            if data.get("DELETE") or not data.get("connector"):
                continue
            row = (data["connector"].name.lower(), data.get("side", ""))
            if row in seen:
                form.add_error("new_connector", self.get_form_error())
            seen.add(row)


def _rows(model: Any, form: Any, parent: type[Item], formset: Any = ListFormSet) -> Any:
    return forms.inlineformset_factory(
        parent, model, form=form, formset=formset, extra=1, can_delete=True, max_num=100
    )


LISTS_OF_KIND: dict[str, dict[str, Any]] = {
    Kind.LOUDSPEAKER: {"ways": _rows(Way, WayForm, Loudspeaker)},
    Kind.PROCESSOR: {"abilities": AbilitiesForm},
    Kind.AMPLIFIER: {
        "modes": _rows(AmplifierMode, ModeForm, Amplifier),
        "ratings": _rows(Rating, RatingForm, Amplifier),
    },
}
ENDS = _rows(End, EndForm, Item, EndFormSet)


def item_lists(kind: str, item: Item, data: Any = None, files: Any = None) -> dict[str, Any]:
    """The formsets, and what saves like one, that belong to a kind of item, by name."""
    classes = LISTS_OF_KIND.get(kind, {}) | {"ends": ENDS}
    return {name: made(data, files, instance=item, prefix=name) for name, made in classes.items()}


def with_one_more_row(data: Any, kind: str, item: Item, name: str) -> Any:
    """The posted data with one more row in a list, filled as an untouched row would be."""
    grown = data.copy()
    total = grown.get(f"{name}-TOTAL_FORMS", "")
    if not total.isdigit():
        return data
    for field in item_lists(kind, item)[name].empty_form:
        untouched = field.value()
        grown[field.html_name.replace("__prefix__", total)] = "" if untouched is None else untouched
    grown[f"{name}-TOTAL_FORMS"] = str(int(total) + 1)
    return grown
