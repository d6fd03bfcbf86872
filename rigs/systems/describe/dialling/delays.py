"""What an alignment asks of outputs: delays and polarity, whole, or what stands in the way."""

from collections.abc import Iterable
from dataclasses import dataclass

from calc.prediction import AlignmentResult
from calc.system import DriveLine, ProcessorOutput, SystemDescription
from calc.words import joined

Key = tuple[str, int]
LEAST_MS = 0.02
"""7 mm of air, and the step of many a processor: less is no change worth making."""


@dataclass(frozen=True, slots=True)
class OutputChange:
    """What one output gets: its delay in all, and whether its polarity changes."""

    processor: str
    output: int
    was_ms: float
    delay_ms: float
    inverted: bool
    turned: bool

    @property
    def name(self) -> str:
        """As the pages call it."""
        return f"{self.processor}, output {self.output}"


@dataclass(frozen=True, slots=True)
class Taking:
    """Changes to take at once. `obstacles`: why they can't be; `remarks`: what moves with them."""

    changes: tuple[OutputChange, ...] = ()
    obstacles: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


def taking(system: SystemDescription, result: AlignmentResult) -> Taking:
    """What to change so that an alignment runs together.

    The moved lines get `add_ms` more. Where that would be less than none for one of them, all
    of both sides wait by what is missing.
    """
    if result.add_ms is None:
        return Taking(obstacles=result.unknown or ("What delay it needs is unknown.",))
    moved, reference = (_lines(system, names) for names in (result.moved, result.reference))
    obstacles = _obstacles(moved, reference)
    if obstacles:
        return Taking(obstacles=tuple(obstacles))
    stored = {(output.processor, output.output): output for output in system.outputs}
    delays = {key: _delay(stored, key) + result.add_ms for key in _keys(moved)}
    lacking = max(0.0, -min(delays.values()))
    delays = {key: delay + lacking for key, delay in delays.items()}
    if lacking >= LEAST_MS:
        delays |= {key: _delay(stored, key) + lacking for key in _keys(reference)}
    turned = _keys(moved) if result.invert else []
    changes = [
        _change(stored, key, delay, key in turned)
        for key, delay in sorted(delays.items())
        if abs(delay - _delay(stored, key)) >= LEAST_MS or key in turned
    ]
    both = {line.name for line in (*moved, *reference)}
    return Taking(tuple(changes), (), tuple(_remarks(system, changes, both)))


def _lines(system: SystemDescription, names: Iterable[str]) -> list[DriveLine]:
    wanted = set(names)
    return [line for line in system.drive_lines if line.name in wanted]


def _keys(lines: Iterable[DriveLine]) -> list[Key]:
    """The outputs that lines start at, each once."""
    found = {
        (line.processor, line.output)
        for line in lines
        if line.processor and line.output is not None
    }
    return sorted(found)


def _obstacles(moved: list[DriveLine], reference: list[DriveLine]) -> list[str]:
    said = [
        f"Nobody said which processor output feeds {line.name}. Say it on the line's page first."
        for line in (*moved, *reference)
        if not line.processor or line.output is None
    ]
    shared = set(_keys(moved)) & set(_keys(reference))
    said += [
        f"{processor}, output {output} feeds lines on both sides: one delay can't move one of them "
        "only. Give them outputs of their own."
        for processor, output in sorted(shared)
    ]
    if not moved or not reference:
        said.append("One of the two sides has no line any more.")
    return said


def _delay(stored: dict[Key, ProcessorOutput], key: Key) -> float:
    return stored[key].delay_ms if key in stored else 0.0


def _change(
    stored: dict[Key, ProcessorOutput], key: Key, delay_ms: float, turned: bool
) -> OutputChange:
    inverted = stored[key].inverted if key in stored else False
    return OutputChange(*key, _delay(stored, key), round(delay_ms, 4), inverted != turned, turned)


def _remarks(
    system: SystemDescription, changes: Iterable[OutputChange], both: set[str]
) -> Iterable[str]:
    for change in changes:
        others = [
            line.name
            for line in system.drive_lines
            if (line.processor, line.output) == (change.processor, change.output)
            and line.name not in both
        ]
        if others:
            yield f"{change.name} also drives {joined(others)}: that moves with it."
