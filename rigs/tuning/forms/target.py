"""A target curve by its control points."""

from typing import Any

from django import forms

from rigs.people.models import Person
from rigs.systems.faults import NotSaved
from rigs.tuning.actions import save_target
from rigs.tuning.aiming import read_points, write_points
from rigs.tuning.models import TargetCurve
from rigs.versions import ChangedMeanwhile


class TargetForm(forms.ModelForm):
    """Name, whose it is, and the points as lines of Hz and dB."""

    use_required_attribute = False
    instance: TargetCurve

    table = forms.CharField(
        label="points, lines of Hz and dB",
        required=False,
        widget=forms.Textarea(attrs={"rows": 8, "cols": 24, "spellcheck": "false"}),
        help_text="100, 3 and 1000, 0: straight in between over the logarithm of frequency; "
        "beyond the ends it stays. Only the shape counts.",
    )

    class Meta:
        model = TargetCurve
        fields = ["name", "venue"]
        help_texts = {"venue": "Empty: for the whole company."}

    def __init__(self, *args: Any, seen: int | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.seen = seen if seen is not None else self.instance.version
        if self.instance.points:
            self.initial["table"] = write_points(self.instance.points)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        try:
            self.instance.points = [list(p) for p in read_points(cleaned.get("table") or "")]
        except forms.ValidationError as fault:
            self.add_error("table", fault)
        return cleaned

    def save_for(self, person: Person) -> bool:
        """Save it; False when refused, with the reason in the errors."""
        try:
            save_target(self.instance, self.seen if self.instance.pk else None, person)
        except NotSaved as refusal:
            for field, sentences in refusal.faults.items():
                for sentence in sentences:
                    self.add_error(field if field in self.fields else None, sentence)
            return False
        except ChangedMeanwhile as meanwhile:
            self.add_error(None, str(meanwhile))
            self.seen = meanwhile.row.version
            return False
        return True
