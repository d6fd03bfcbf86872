"""Small words for the rigs: boxes left and right, and the lines of two-way boxes."""

from collections.abc import Iterable

from rigs.demo.data import accessories as more
from rigs.demo.data import cables, mixers
from rigs.demo.data.cables import signal
from rigs.demo.shapes import Bearer, Box, Feed, Line, Run


def mirrored(
    name: str, model: str, x: float, y: float, z: float, inward: float = 0, tilt: float = 0
) -> tuple[Box, Box]:
    """A box on either side; `inward` turns both towards the middle (degrees)."""
    return (
        Box(f"{name} left", model, -x, y, z, inward, tilt),
        Box(f"{name} right", model, x, y, z, -inward, tilt),
    )


def row_of(
    name: str, model: str, count: int, spacing: float, y: float, z: float
) -> tuple[Box, ...]:
    """Boxes side by side across the middle, numbered from the left."""
    first = -spacing * (count - 1) / 2
    return tuple(
        Box(f"{name} {n + 1}", model, round(first + n * spacing, 2), y, z) for n in range(count)
    )


def wedge(name: str, model: str, x: float, y: float) -> Box:
    """A monitor on the stage floor, looking back and up at the player."""
    return Box(name, model, x, y, 1.2, 180, 40)


def two_way(
    name: str,
    boxes: tuple[str, ...],
    lf: tuple[str, int, int],
    hf: tuple[str, int, int],
    processor: str,
    run: Run,
    link: Run | None = None,
) -> tuple[Line, Line]:
    """LF and HF line of two-way boxes in one cable; `lf`, `hf`: amplifier, channel, output."""

    def line(way: str, at: tuple[str, int, int]) -> Line:
        return Line(f"{name} {way}", at[0], at[1], boxes, way, run, link, processor, at[2])

    return line("LF", lf), line("HF", hf)


def singles(
    amplifier: str,
    boxes: Iterable[tuple[int, str]],
    way: str,
    run: Run,
    processor: str,
    output: int | None = None,
) -> tuple[Line, ...]:
    """One line for each (channel, box), named as its box; all from one output or their own."""
    return tuple(
        Line(box, amplifier, channel, (box,), way, run, None, processor, output or channel)
        for channel, box in boxes
    )


def basics(racks: int, microphones: int) -> dict[str, int]:
    """Mains, long signal cable and stage kit that every rig of that size takes along."""
    return {
        cables.MAINS_32: racks,
        more.DISTRO_32: racks,
        cables.MAINS_16: racks + 1,
        signal(10): microphones,
        signal(20): 4,
        mixers.DESK: 1,
        more.VOCAL_MIC: microphones,
        "Microphone stand": microphones,
        more.STRAP: 4 * racks,
    }


def plugged(
    supply: str, *racks: str, socket: str = "", cable: str = cables.MAINS_32
) -> tuple[Feed, ...]:
    """Racks on the phases of a supply in turn; `socket` names its circuits."""
    return tuple(
        Feed(rack, supply, n, f"{socket} {n}" if socket else "", cable)
        for n, rack in enumerate(racks, start=1)
    )


def on_stands(stand: str, *groups: str | tuple[str, ...]) -> tuple[Bearer, ...]:
    """A stand of that type on either side, for each group of boxes that are named by side."""
    return tuple(
        Bearer(
            f"{names[0]} {hand} stand", "stand", tuple(f"{n} {hand}" for n in names), stand=stand
        )
        for group in groups
        for names in [(group,) if isinstance(group, str) else group]
        for hand in ("left", "right")
    )


def on_wings(limit_kg: float, *names: str) -> tuple[Bearer, ...]:
    """Boxes on the wings of the stage, up to what the stage builder marked."""
    return tuple(
        Bearer(f"Wing {hand}", "stand", tuple(f"{n} {hand}" for n in names), limit_kg=limit_kg)
        for hand in ("left", "right")
    )


def truck(limit_kg: float, name: str = "Truck") -> Bearer:
    """What carries the whole kit list."""
    return Bearer(name, "truck", limit_kg=limit_kg, carries_kit=True)
