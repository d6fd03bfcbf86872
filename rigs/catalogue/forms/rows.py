"""The rows below an item: modes, ratings and ends."""

from typing import Any

from django import forms

from rigs.catalogue.forms.base import NumberText, SheetForm, speak_plainly
from rigs.catalogue.models import AmplifierMode, Connector, End, Rating


class ModeForm(SheetForm):
    class Meta:
        model = AmplifierMode
        fields = ["mode", "minimum_load_ohm", "minimum_kind", "extra_gain_db"]
        labels = {"minimum_kind": "Minimum is stated as"}


class RatingForm(SheetForm):
    class Meta:
        model = Rating
        fields = ["mode", "load_ohm", "power_w", "signal"]
        labels = {"load_ohm": "Rated load in ohm"}


class EndForm(forms.ModelForm):
    """A connection; a connector that nobody used before is made by its name."""

    new_connector = forms.CharField(label="or a new connector", max_length=60, required=False)

    class Meta:
        model = End
        fields = ["connector", "side", "count"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["connector"].required = False
        self.fields["count"].widget = NumberText()
        speak_plainly(self.fields)
        self.order_fields(["connector", "new_connector"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        typed, chosen = cleaned.get("new_connector", "").strip(), cleaned.get("connector")
        if typed and chosen:
            self.add_error("new_connector", "Choose a connector or name a new one, not both.")
        elif typed:
            known = Connector.objects.filter(name__iexact=typed).first()
            cleaned["connector"] = known or Connector(name=typed)
        elif not chosen and "connector" not in self.errors:
            self.add_error("connector", "Choose a connector or name a new one.")
        return cleaned

    def _get_validation_exclusions(self) -> set[str]:
        exclude: set[str] = super()._get_validation_exclusions()  # type: ignore[misc]
        chosen = self.cleaned_data.get("connector")
        # A connector that is not saved yet has no key that the model could look at.
        return exclude | {"connector"} if chosen is not None and chosen.pk is None else exclude

    def save(self, commit: bool = True) -> End:
        connector = self.instance.connector
        if connector.pk is None:
            self.instance.connector, _ = Connector.objects.get_or_create(name=connector.name)
        return super().save(commit)

    def plain_fields(self) -> list[forms.BoundField]:
        return [bound for bound in self.visible_fields() if bound.name != "DELETE"]
