"""Tables of a way that are pasted or uploaded: impedance, polars, the response on the axis."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django import forms

from rigs.catalogue.axis import read_response, write_response
from rigs.catalogue.models import BASES
from rigs.catalogue.pasted import read_curve, write_curve
from rigs.catalogue.polars import read_polars, write_polars


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its fields in the form, what is stored of it, how it is read and written."""

    name: str
    stored: str
    what: str
    label: str
    help_text: str
    read: Callable[[str], Any]
    write: Callable[[Any], str]

    @property
    def text(self) -> str:
        return f"{self.name}_text"

    @property
    def file(self) -> str:
        return f"{self.name}_file"

    @property
    def basis(self) -> str:
        return f"{self.stored}_basis"

    def fields(self) -> dict[str, forms.Field]:
        """The text, a file that replaces it, and what the table stands on."""
        area = forms.Textarea(attrs={"rows": 8, "class": "curve-text", "spellcheck": "false"})
        return {
            self.text: forms.CharField(
                label=self.label,
                required=False,
                strip=False,
                widget=area,
                help_text=self.help_text,
            ),
            self.file: forms.FileField(
                label="or a CSV file",
                required=False,
                help_text="It replaces what stands here.",
            ),
            self.basis: forms.ChoiceField(
                label=f"Basis of {self.what.split(' ', 1)[1]}",
                choices=[(word, word) for word in BASES],
                required=False,
            ),
        }


CURVE = Table(
    "curve",
    "impedance_curve",
    "an impedance curve",
    "Hz, ohm, degrees: one point a line",
    "Paste columns with commas, semicolons or tabs between them. Degrees are optional. "
    "Clear it to have no curve.",
    read_curve,
    write_curve,
)
POLARS = Table(
    "polars",
    "directivity",
    "a table of polars",
    "plane, angle, then a level in dB for each band",
    "First line: plane, angle, 125, 250 ... Then a line for each angle from 0 to 180 (or all "
    "round) in steps of 5 or 10 degrees: h, 10, -0.2, -0.5 ... and the same with v. "
    "Clear it to have no polars.",
    read_polars,
    write_polars,
)
AXIS = Table(
    "axis",
    "axis_response",
    "a response on the axis",
    "Hz, dB, degrees: one point a line",
    "At 1 m, for the drive that the sensitivity is stated for. It counts before the sensitivity. "
    "Degrees are optional: phase with the box's own arrival taken out. "
    "Clear it to have none.",
    read_response,
    write_response,
)
TABLES = (CURVE, POLARS, AXIS)
