"""A target curve by its control points."""

from collections.abc import Sequence
from typing import Any

from django import forms

from rigs.people.models import Person
from rigs.systems.forms.base import SavedByAction
from rigs.tuning.actions import save_target
from rigs.tuning.aiming import Point, read_points, write_points
from rigs.tuning.models import TargetCurve


class TargetForm(SavedByAction):
    """Name, whose it is, and the points as lines of Hz and dB."""

    instance: TargetCurve

    table = forms.CharField(
        label="points, lines of Hz and dB",
        required=False,
        widget=forms.Textarea(
            attrs={"rows": 8, "cols": 24, "spellcheck": "false", "class": "target-points"}
        ),
        help_text="100, 3 and 1000, 0: straight in between over the logarithm of frequency; "
        "beyond the ends it stays. Only the shape counts.",
    )

    class Meta:
        model = TargetCurve
        fields = ["name", "venue"]
        help_texts = {"venue": "Empty: for the whole company."}

    def __init__(
        self,
        *args: Any,
        seen: int | None = None,
        begin: Sequence[Sequence[float]] = (),
        **kwargs: Any,
    ) -> None:
        """`begin`: points of another curve that a new one starts from."""
        super().__init__(*args, **kwargs)
        self.seen = seen if seen is not None else self.instance.version
        self.initial["table"] = write_points(self.instance.points or begin)

    def drawn(self) -> list[Point]:
        """The points as they stand in the field; none where they can't be read."""
        try:
            return read_points(self["table"].value() or "")
        except forms.ValidationError:
            return []

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        try:
            self.instance.points = [list(p) for p in read_points(cleaned.get("table") or "")]
        except forms.ValidationError as fault:
            self.add_error("table", fault)
        return cleaned

    def act(self, person: Person) -> None:
        save_target(self.instance, self.seen if self.instance.pk else None, person)
