"""Bringing a system to life in an order that harms nobody: quiet first, one output at a time."""

from collections.abc import Iterator, Sequence

from calc.lookup import Lookup
from calc.prediction import LineUpStep
from calc.signals.outputs import played_by
from calc.signals.words import hz_words
from calc.system import DriveLine, SystemDescription
from calc.words import joined

HEARING = (
    "Nobody stands near a loudspeaker. Hearing protection at hand. Start from silence and turn up "
    "slowly."
)
BURST = "A loudspeaker that is open or wired wrong shows here: mute at once if it sounds harsh."
HIGH_HZ = 500.0
"""Hz. Ways that begin above it are tried with care: they break first. Own choice."""


def line_up_steps(
    system: SystemDescription, lookup: Lookup, start_order: Sequence[str]
) -> tuple[LineUpStep, ...]:
    """All steps in order; none for a rig without lines.

    Parameters
    ----------
    start_order : sequence of str
        As in `Prediction`: the last one says how to switch off.
    """
    if not system.drive_lines:
        return ()
    return (*_before(start_order), *_outputs(system, lookup), *_after(start_order))


def _before(start_order: Sequence[str]) -> Iterator[LineUpStep]:
    yield LineUpStep(
        "faders",
        "Faders down, everything muted",
        "Pull all faders of the mixer down, mute every processor output and turn every amplifier "
        "to its quietest setting.",
        "Nothing sounds.",
    )
    yield LineUpStep(
        "enter",
        "Enter the dial-in sheets",
        "Enter and tick every figure of every processor before an amplifier is on.",
        "Limiters and protective high passes stand before anything can be loud.",
    )
    for place, step in enumerate(start_order[:-1], start=1):
        yield LineUpStep(
            f"power {place}",
            f"Switch on {place}",
            f"{step}.",
            "No thump, no hum.",
            "Amplifiers come last, turned down. Stop if a breaker trips." if place == 1 else "",
        )
    yield LineUpStep(
        "levels",
        "Level controls to their marks",
        "With everything still muted, turn the amplifiers' level controls to the marks that the "
        "limiters were reckoned for.",
        "Only quiet hiss, if any.",
        HEARING,
    )


def _after(start_order: Sequence[str]) -> Iterator[LineUpStep]:
    yield LineUpStep(
        "together",
        "Everything together, quietly",
        "Unmute all outputs with the test signal still low, then check what runs together.",
        "One even sound; nothing disappears when a second output comes in.",
        HEARING,
    )
    if start_order:
        yield LineUpStep("off", "At the end", f"{start_order[-1]}.", "No thump.")


def _outputs(system: SystemDescription, lookup: Lookup) -> Iterator[LineUpStep]:
    """Output by output, subs and lows first; lines that no output feeds one by one."""
    feeders: dict[str, list[DriveLine]] = {}
    for line in system.drive_lines:
        fed = line.processor and line.output is not None
        name = f"{line.processor}, output {line.output}" if fed else f"Line {line.name}"
        feeders.setdefault(name, []).append(line)
    for name, lines in sorted(feeders.items(), key=lambda item: _lowest(item[1], lookup)):
        yield _step(name, lines, lookup)


def _lowest(lines: Sequence[DriveLine], lookup: Lookup) -> float:
    lows = [lookup.way(k.placement, k.way).low_hz.value for line in lines for k in line.links]
    return min((hz for hz in lows if hz is not None), default=float("inf"))


def _step(name: str, lines: Sequence[DriveLine], lookup: Lookup) -> LineUpStep:
    boxes = list(dict.fromkeys(link.placement for line in lines for link in line.links))
    names = joined(line.name for line in lines)
    band, low = _band(lines, lookup), _lowest(lines, lookup)
    inverted = any(_inverted(line, lookup) for line in lines)
    turned = "It is inverted on purpose: judge against the others of its kind." if inverted else ""
    return LineUpStep(
        key=name,
        title=f"{name}: {names}",
        does="Unmute it alone, pink noise from silence up to speaking level. Go from box to box: "
        "does each sound, and alike? Check each one's polarity with a polarity tester, then mute. "
        + turned,
        expect=f"{joined(boxes)} {'sound' if len(boxes) > 1 else 'sounds'}, {band}, nothing else."
        if boxes
        else "Nothing: no box hangs on it.",
        caution=f"{HEARING} {BURST}" if low >= HIGH_HZ else HEARING,
    )


def _inverted(line: DriveLine, lookup: Lookup) -> bool:
    output = played_by(line, lookup).output
    return output is not None and output.inverted


def _band(lines: Sequence[DriveLine], lookup: Lookup) -> str:
    """What should be heard: the passes where they are known, else the ways' band."""
    ways = [lookup.way(link.placement, link.way) for line in lines for link in line.links]
    lows = [way.low_hz.value for way in ways if way.low_hz.value is not None]
    highs = [way.high_hz.value for way in ways if way.high_hz.value is not None]
    output = played_by(lines[0], lookup).output
    for part in () if output is None else output.filters:
        if part.kind == "high-pass":
            lows = [max([part.frequency_hz, *lows])]
        if part.kind == "low-pass":
            highs = [min([part.frequency_hz, *highs])]
    if not lows or not highs or min(lows) >= max(highs):
        return "in a band that is not known"
    return f"from about {hz_words(min(lows))} to {hz_words(max(highs))}"
