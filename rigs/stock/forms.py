"""What people type about the stock."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from rigs.catalogue.models import Item, Kind
from rigs.stock.actions import set_count
from rigs.stock.models import Count, Unit


class StockFilter(forms.Form):
    """Which part of the stock to list; a value it does not know lists everything."""

    q = forms.CharField(label="Search", required=False, max_length=80)
    kind = forms.ChoiceField(
        choices=[("", "all"), *((k.value, k.value) for k in Kind)], required=False
    )
    state = forms.ChoiceField(
        choices=[("", "all"), *((s.value, s.value) for s in Unit.State)], required=False
    )
    item = forms.IntegerField(min_value=1, max_value=2**62, required=False)

    def wanted(self) -> dict[str, Any]:
        self.is_valid()
        values = self.cleaned_data
        return {
            "words": values.get("q", ""),
            "kind": values.get("kind", ""),
            "state": values.get("state", ""),
            "item": values.get("item"),
        }


class SetAsideForm(forms.Form):
    """Why a unit must not go out."""

    reason = forms.CharField(
        max_length=Unit._meta.get_field("fault").max_length,
        error_messages={"required": "Say why, so that the next one knows what to mend."},
        help_text="What was heard, seen or measured.",
    )


class CountForm(forms.Form):
    """How many pieces of a counted item there are."""

    owned = forms.IntegerField(min_value=0, max_value=100_000)
    set_aside = forms.IntegerField(
        min_value=0, max_value=100_000, help_text="Broken, lost or waiting for a test."
    )

    def save(self, item: Item) -> Count | None:
        """The new count; None where something stands against it, told in the form."""
        try:
            return set_count(item, self.cleaned_data["owned"], self.cleaned_data["set_aside"])
        except ValidationError as wrong:
            self.add_error("set_aside", wrong.messages)
        return None
