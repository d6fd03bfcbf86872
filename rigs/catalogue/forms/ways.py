"""A way's figures, and what was measured of it as pasted or uploaded."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django import forms

from rigs.catalogue.directivity import Balloon, Polars
from rigs.catalogue.forms.base import SheetForm
from rigs.catalogue.forms.tables import AXIS, CURVE, POLARS, TABLES, Table
from rigs.catalogue.models import DATA_SHEET, MEASURED, Way
from rigs.catalogue.transfer import MOST_BYTES, read_transfer
from rigs.catalogue.typed_lines import MOST_CHARACTERS, decode


@dataclass(frozen=True, slots=True)
class FoldOut:
    """Fields that stay folded away until somebody needs them."""

    title: str
    note: str
    fields: list[forms.BoundField]
    is_open: bool


class WayForm(SheetForm):
    """An uploaded table becomes typed text at once: what is wrong in it can be mended here."""

    transfer_file = forms.FileField(
        label="or a SOFA file",
        required=False,
        help_text="AES69, convention FreeFieldDirectivityTF: its balloon is taken, not its level. "
        "Choose it again when this page comes back with something to mend.",
    )
    forget_balloon = forms.BooleanField(label="Remove the measured balloon", required=False)
    instance: Way

    class Meta:
        model = Way
        fields = [
            "order",
            "name",
            "pole_pair",
            "rated_impedance_ohm",
            "minimum_impedance_ohm",
            "noise_power_w",
            "programme_power_w",
            "peak_power_w",
            "sensitivity_db",
            "sensitivity_basis",
            "low_hz",
            "high_hz",
            "coverage_h_deg",
            "coverage_v_deg",
            "piston_diameter_m",
            "least_high_pass_hz",
            "least_high_pass_order",
        ]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.balloon = self._stored_balloon()
        if self.balloon is None:
            del self.fields["forget_balloon"]
        self.file_faults: dict[str, list[str]] = {}
        for table in TABLES:
            self.fields |= table.fields()
            stored = self._stored(table)
            basis = self.instance.basis_of(table.stored)
            self.initial[table.text] = table.write(stored) if stored else ""
            self.initial[table.basis] = MEASURED if basis == "unknown" else basis
            upload = self._upload(table.file)
            if upload:
                self._take(table, upload)

    def _stored(self, table: Table) -> Any:
        """What the instance has of a table; a measured balloon is no table."""
        read = {CURVE: self.instance.curve, AXIS: self.instance.axis}
        if table is not POLARS:
            return read[table]
        measured = self.instance.radiation
        return measured if isinstance(measured, Polars) else None

    def _stored_balloon(self) -> Balloon | None:
        measured = self.instance.radiation
        return measured if isinstance(measured, Balloon) else None

    def _upload(self, name: str) -> Any:
        """An uploaded file; an empty one takes nothing away: its field says that it is empty."""
        upload = self.files.get(self.add_prefix(name)) if self.is_bound else None
        return upload if upload and upload.size else None

    def _take(self, table: Table, upload: Any) -> None:
        """Put the text of an uploaded file where it would have been typed."""
        try:
            text = decode(upload.read(MOST_CHARACTERS + 1), table.what)
        except forms.ValidationError as fault:
            self.file_faults[table.file] = list(fault.messages)
            return
        typed: Any = self.data
        self.data = typed.copy()
        self.data[self.add_prefix(table.text)] = text  # type: ignore[index]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        for name, faults in self.file_faults.items():
            for fault in faults:
                self.add_error(name, fault)
        read = {table: self._read(table, cleaned) for table in TABLES}
        self._store_directivity(read[POLARS], cleaned)
        self.instance.impedance_curve = read[CURVE].to_plain() if read[CURVE] else None
        self.instance.axis_response = read[AXIS].to_plain() if read[AXIS] else None
        for table in TABLES:
            basis = cleaned.get(table.basis) or DATA_SHEET
            if getattr(self.instance, table.stored) and basis != DATA_SHEET:
                self.instance.basis[table.stored] = basis
        return cleaned

    def _read(self, table: Table, cleaned: dict[str, Any]) -> Any:
        text = cleaned.get(table.text) or ""
        try:
            read = table.read(text)
        except forms.ValidationError as fault:
            self.add_error(table.text, fault)
            return None
        if read is None and text.strip():  # words alone take nothing away
            what = table.what.split(" ", 1)[1]
            self.add_error(table.text, f"No line of numbers is in it, so it is no {what}.")
        return read

    def _store_directivity(self, polars: Polars | None, cleaned: dict[str, Any]) -> None:
        measured = self._measured(cleaned.get("transfer_file"))
        if measured and polars:
            self.add_error("transfer_file", "Give a table of polars or a SOFA file, not both.")
        elif measured or polars:
            self.instance.directivity = (measured or polars).to_plain()  # type: ignore[union-attr]
        elif self.balloon is None or cleaned.get("forget_balloon"):
            self.instance.directivity = None

    def _measured(self, upload: Any) -> Balloon | None:
        if not upload:
            return None
        try:
            return read_transfer(upload.read(MOST_BYTES + 1), str(upload.name)[:80])
        except forms.ValidationError as fault:
            self.add_error("transfer_file", fault)
            return None

    def plain_fields(self) -> list[forms.BoundField]:
        """Fields that are neither figures nor folded away."""
        folded = {bound.name for fold in self.fold_outs() for bound in fold.fields}
        return [bound for bound in super().plain_fields() if bound.name not in folded]

    def fold_outs(self) -> list[FoldOut]:
        """What was measured: impedance, directivity, the response on the axis."""
        more = [name for name in ("transfer_file", "forget_balloon") if name in self.fields]
        return [
            self._fold_out("Impedance curve", CURVE),
            self._fold_out("Directivity", POLARS, more, self._balloon_note()),
            self._fold_out("Response on the axis", AXIS),
        ]

    def _fold_out(
        self, title: str, table: Table, more: Sequence[str] = (), note: str = ""
    ) -> FoldOut:
        names = [table.text, table.file, *more, table.basis]
        fields = [self[name] for name in names]
        is_open = bool(note or self[table.text].value() or any(f.errors for f in fields))
        return FoldOut(title, note, fields, is_open)

    def _balloon_note(self) -> str:
        if self.balloon is None:
            return ""
        source = f" from {self.balloon.file_name}" if self.balloon.file_name else ""
        return (
            f"A measured balloon{source} with {len(self.balloon.band_hz)} bands is stored. "
            "Polars or another file replace it."
        )
