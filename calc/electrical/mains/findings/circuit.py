"""What each socket with a breaker of its own carries."""

from collections.abc import Iterator, Sequence

from calc.constants import CONTINUOUS_SHARE
from calc.electrical.mains.findings.words import ELECTRICIAN, amps
from calc.electrical.mains.plugging import Plugged, Plugging, total
from calc.prediction import Finding, State
from calc.system import Circuit
from calc.words import number

CIRCUIT_SOURCE = "the breaker's rating; 80 % of it all the time: NEC 210.20"


def circuit_findings(circuits: Sequence[Circuit], found: Plugging) -> Iterator[Finding]:
    """Every circuit that something hangs on."""
    for circuit in circuits:
        mine = [one for one in found.plugged if one.circuit == circuit.name]
        if mine:
            yield _circuit(circuit, mine)


def _circuit(circuit: Circuit, mine: Sequence[Plugged]) -> Finding:
    drawn, breaker = total(one.programme_a for one in mine), circuit.breaker_a.value
    known = sum(one.programme_a or 0.0 for one in mine)
    state: State
    if breaker is not None and known > breaker * (1 + 1e-9):
        state = "fails"
        sentence = f"{number(known)} A, its breaker bears {number(breaker)} A."
    elif drawn is None or breaker is None:
        state = "cannot check"
        sentence = "the current of a rack or of its breaker is unknown. Enter it."
    else:
        state = "tight" if drawn > CONTINUOUS_SHARE * breaker else "holds"
        sentence = f"{number(drawn)} A of {number(breaker)} A."
        if state == "tight":
            sentence = f"{number(drawn)} A, more than 80 % of its breaker's {number(breaker)} A."
    return Finding(
        subject=circuit.name,
        check="phase",
        title="Current of a circuit",
        state=state,
        value=drawn,
        limit=CONTINUOUS_SHARE * breaker if state == "tight" and breaker is not None else breaker,
        unit="A",
        limit_source=CIRCUIT_SOURCE,
        sentence=f"Circuit {circuit.name}: {sentence}",
        working=tuple(f"{one.name}: {amps(one.programme_a)}." for one in mine),
        assumed=tuple(dict.fromkeys(text for one in mine for text in one.assumed)),
        remedy=f"Another circuit for one of its racks. {ELECTRICIAN}",
    )
