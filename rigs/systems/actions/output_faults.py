"""Why an output cannot be set as somebody wishes. Reads only."""

from rigs.systems.faults import Faults, faults_of
from rigs.systems.models import OutputFilter, ProcessorPlace
from rigs.systems.plans import OutputPlan

MOST_FILTERS = 64
OF_AN_OUTPUT = ("number", "inputs", "gain_db", "delay_ms", "inverted")
OF_A_FILTER = ("kind", "family", "order", "frequency_hz", "gain_db", "q")


def output_faults(plan: OutputPlan, place: ProcessorPlace) -> Faults:
    """Faults by the output's field, or "filters.N.field" for its Nth filter from 0.

    What a processor cannot do with a believable wish (too fine a step, one filter too many) is no
    fault: the dial-in sheet says it.
    """
    faults = faults_of(plan.row(), OF_AN_OUTPUT)
    _tell(faults, "number", _number_fault(plan, place))
    _tell(faults, "inputs", _input_fault(plan, place))
    if len(plan.filters) > MOST_FILTERS:
        return faults | {"": [f"At most {MOST_FILTERS} filters on one output."]}
    kinds: set[str] = set()
    for index, wanted in enumerate(plan.filters):
        row = wanted.row(plan.row(), index + 1)
        found = faults_of(row, OF_A_FILTER)
        if row.kind in OutputFilter.PASSES and row.kind in kinds:
            _tell(found, "kind", "An output has one high pass and one low pass at most.")
        kinds.add(row.kind)
        if "frequency_hz" not in found:
            _tell(found, "frequency_hz", _sampling_fault(row, place))
        faults |= {f"filters.{index}.{field}": told for field, told in found.items()}
    return faults


def _tell(faults: Faults, field: str, sentence: str) -> None:
    if sentence:
        faults.setdefault(field, []).append(sentence)


def _number_fault(plan: OutputPlan, place: ProcessorPlace) -> str:
    have = place.processor.outputs
    return f"{place.processor} has {have} outputs." if plan.number > have else ""


def _input_fault(plan: OutputPlan, place: ProcessorPlace) -> str:
    have = place.processor.inputs
    if any(number > have for number in plan.inputs):
        return f"{place.processor} has {have} inputs."
    if len(set(plan.inputs)) < len(plan.inputs):
        return "One input stands here twice."
    return ""


def _sampling_fault(row: OutputFilter, place: ProcessorPlace) -> str:
    """Above half the sampling rate there is no filter, whatever is typed."""
    sampling = place.processor.sampling_hz
    if sampling is None or row.frequency_hz < sampling / 2:
        return ""
    return (
        f"{place.processor} works up to {sampling / 2:g} Hz, half its sampling rate. "
        "Lower the frequency."
    )
