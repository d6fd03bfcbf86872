"""The dial-in sheet: what to enter in each processor, as this model takes it."""

from calc.signals.dial_in.findings import fit_findings
from calc.signals.dial_in.sheets import dial_in_sheets, dialled, output_sheet

__all__ = ["dial_in_sheets", "dialled", "fit_findings", "output_sheet"]
