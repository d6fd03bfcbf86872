"""One module per checked statement about a drive line: its number, its limit, its sentence."""

from dataclasses import replace

from calc.electrical.findings.assumptions import assumed_inputs
from calc.electrical.findings.cable import cable_loss_finding, damping_finding
from calc.electrical.findings.limiter import limiter_finding
from calc.electrical.findings.load import load_finding
from calc.electrical.findings.peak import peak_finding
from calc.electrical.findings.poles import pole_pair_finding
from calc.electrical.findings.power import headroom_finding, power_finding
from calc.electrical.findings.remedies import remedy
from calc.electrical.line_figures import LineFigures
from calc.prediction import Finding

_CHECKS = (
    load_finding,
    power_finding,
    peak_finding,
    cable_loss_finding,
    damping_finding,
    headroom_finding,
    limiter_finding,
    pole_pair_finding,
)


def line_findings(figures: LineFigures) -> tuple[Finding, ...]:
    """All findings of a line, with every assumption they rest on and what would change them."""
    found = (check(figures) for check in _CHECKS)
    return tuple(
        replace(
            one,
            assumed=one.assumed + assumed_inputs(figures, one.check),
            remedy=remedy(figures, one),
        )
        for one in found
    )


__all__ = ["line_findings"]
