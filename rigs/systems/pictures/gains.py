"""A gain ladder drawn: each stage a bar from its noise to where it clips.

All bars stand on one scale, seen from the processor's output, so that the lowest top is what
clips first. The words under each bar give the stage's levels at its own place.
"""

from dataclasses import dataclass

from calc.prediction import GainLadder, GainStage
from calc.words import level, number
from rigs.systems.pictures.svg import Drawing, fitted, text_width
from rigs.systems.pictures.words import signed

WIDE, NARROW = 850.0, 340.0
LINE_HEIGHT = 18.0
SCALE_WIDTH = 64.0
PLOT = 240.0
ROOM_DB = 6.0
LOWEST_SPAN_DB = 60.0
STEPS_DB = (10, 20, 40)


@dataclass(frozen=True, slots=True)
class Scale:
    """From dBu to the paper: `low` and `high` are the ends of the axis."""

    low: float
    high: float
    start: float
    length: float

    def at(self, dbu: float) -> float:
        """How far along the axis a level lies."""
        return self.start + (dbu - self.low) / (self.high - self.low) * self.length


def gain_ladder_picture(ladder: GainLadder, *, upright: bool = False) -> str:
    """Draw a gain ladder as SVG text.

    Parameters
    ----------
    ladder : GainLadder
    upright : bool
        Stages below each other with bars to the right, 340 units wide, for a phone; otherwise
        left to right, 850 wide.

    Returns
    -------
    str
        SVG with title and description; every name escaped; readable without colour or styles.
    """
    title = "Gain ladder"
    if ladder.first_known_to_clip:
        title += f": {ladder.first_known_to_clip} clips first"
        title += "" if ladder.first_to_clip else " of those known"
    drawing = Drawing(NARROW if upright else WIDE, title, "gains")
    draw = _draw_upright if upright else _draw_across
    height = draw(drawing, ladder)
    return drawing.svg(height, " ".join([*map(_sentence, ladder.stages), *ladder.sentences]))


def _sentence(stage: GainStage) -> str:
    return f"{stage.name}: {_clip_words(stage)}, {_noise_words(stage)}."


def _clip_words(stage: GainStage) -> str:
    return "clip unknown" if stage.clip_dbu is None else f"clips at {signed(stage.clip_dbu, 'dBu')}"


def _noise_words(stage: GainStage) -> str:
    if stage.noise_dbu is None:
        return "no noise stated"
    return f"noise {level(stage.noise_dbu, 'dBu')}"


def _ends(ladder: GainLadder) -> tuple[float, float]:
    """The levels that the axis has to hold."""
    clips = [s.clip_at_reference_dbu for s in ladder.stages if s.clip_at_reference_dbu is not None]
    noises = [
        s.noise_at_reference_dbu for s in ladder.stages if s.noise_at_reference_dbu is not None
    ]
    high = max(clips, default=30.0) + ROOM_DB
    low = min([*noises, high - LOWEST_SPAN_DB]) - ROOM_DB
    return low, high


def _marks(low: float, high: float) -> list[int]:
    """Round levels for the axis: not more than nine."""
    step = next((s for s in STEPS_DB if (high - low) / s <= 8), STEPS_DB[-1])
    first = -int(-low // step) * step
    return [mark for mark in range(first, int(high) + 1, step) if low <= mark <= high]


def _later(stage: GainStage, ladder: GainLadder) -> str:
    """How much later than the first a stage clips."""
    first = next((s for s in ladder.stages if s.name == ladder.first_known_to_clip), None)
    if stage.clip_at_reference_dbu is None or first is None or first.clip_at_reference_dbu is None:
        return ""
    if stage is first:
        return "clips first" if ladder.first_to_clip else "first of those known"
    return f"{level(stage.clip_at_reference_dbu - first.clip_at_reference_dbu)} later"


# --- left to right --------------------------------------------------------------------------


def _draw_across(drawing: Drawing, ladder: GainLadder) -> float:
    top = 2 * LINE_HEIGHT + 8
    low, high = _ends(ladder)
    scale = Scale(low, high, top + PLOT, -PLOT)
    wide = (drawing.width - SCALE_WIDTH) / max(len(ladder.stages), 1)
    drawing.text(0, 14, "dBu at the processor's output", css="name")
    for mark in _marks(low, high):
        y = scale.at(mark)
        drawing.path([(SCALE_WIDTH - 6, y), (drawing.width, y)], "rule", 0.5)
        drawing.text(SCALE_WIDTH - 10, y + 5, f"{mark:+d}" if mark else "0", anchor="end")
    for number_, stage in enumerate(ladder.stages):
        x = SCALE_WIDTH + number_ * wide
        _bar_across(drawing, scale, x + wide / 2, stage, _later(stage, ladder))
        _words_across(drawing, stage, ladder, x, wide, top + PLOT)
    _first_line(drawing, scale, ladder)
    return top + PLOT + 5 * LINE_HEIGHT + 12


def _bar_across(drawing: Drawing, scale: Scale, middle: float, stage: GainStage, word: str) -> None:
    clip, noise = stage.clip_at_reference_dbu, stage.noise_at_reference_dbu
    top = scale.at(scale.high - 1 if clip is None else clip)
    bottom = scale.at(scale.low if noise is None else noise)
    half = 17.0
    if clip is None:
        drawing.path([(middle, bottom), (middle, top)], "open", 1.5, stroke_dasharray="4 4")
        drawing.text(middle, top + 14, "?", anchor="middle", bold=True)
        return
    if noise is None:  # open below: nobody knows how far down it reaches
        drawing.path([(middle, top), (middle, bottom)], "open", 1.5, stroke_dasharray="4 4")
    else:
        corners = [
            (middle - half, top), (middle + half, top),
            (middle + half, bottom), (middle - half, bottom),
        ]  # fmt: skip
        drawing.polygon(corners, "range", "currentColor", 0.12)
    drawing.path([(middle - half - 6, top), (middle + half + 6, top)], "clip", 3)
    first = word.startswith(("clips first", "first"))
    drawing.text(middle, top - 7, word, anchor="middle", bold=first, css="tag" if not first else "")


def _words_across(
    drawing: Drawing, stage: GainStage, ladder: GainLadder, x: float, wide: float, floor: float
) -> None:
    first = stage.name == ladder.first_known_to_clip
    rows = [(text, True) for text in fitted(stage.name, wide - 8, 2)]
    rows += [(text, False) for text in fitted(_clip_words(stage), wide - 4, 2)]
    rows += [(text, False) for text in fitted(_noise_words(stage), wide - 4, 2)]
    for number_, (text, bold) in enumerate(rows):
        y = floor + 20 + number_ * LINE_HEIGHT
        drawing.text(x + wide / 2, y, text, anchor="middle", bold=bold, limiting=bold and first)


def _first_line(drawing: Drawing, scale: Scale, ladder: GainLadder) -> None:
    """The level at which the first stage clips, through all the others."""
    clips = [s.clip_at_reference_dbu for s in ladder.stages if s.clip_at_reference_dbu is not None]
    if clips:
        y = scale.at(min(clips))
        drawing.path([(SCALE_WIDTH, y), (drawing.width, y)], "limit", 1.5, stroke_dasharray="6 4")


# --- top to bottom --------------------------------------------------------------------------


def _draw_upright(drawing: Drawing, ladder: GainLadder) -> float:
    low, high = _ends(ladder)
    scale = Scale(low, high, 4, drawing.width - 8)
    y = 14.0
    drawing.text(0, y, "dBu at the processor's output", css="name")
    for stage in ladder.stages:
        y += 26
        first = stage.name == ladder.first_known_to_clip
        word = _later(stage, ladder)
        drawing.text(0, y, stage.name, bold=True, limiting=first)
        room = drawing.width - text_width(stage.name) - 16
        if text_width(word) < room:
            drawing.text(drawing.width, y, word, anchor="end", bold=first)
        y += 6
        _bar_along(drawing, scale, y, stage)
        for text in fitted(f"{_clip_words(stage)}, {_noise_words(stage)}", drawing.width, 2):
            y += LINE_HEIGHT
            drawing.text(0, y + 14, text)
        y += LINE_HEIGHT
    bottom = y + 10
    for mark in _marks(low, high):
        x = scale.at(mark)
        drawing.path([(x, bottom), (x, bottom + 6)], "rule", 1)
        if 14 < x < drawing.width - 14:
            drawing.text(x, bottom + 22, f"{mark:+d}" if mark else "0", anchor="middle")
    drawing.path([(0, bottom), (drawing.width, bottom)], "rule", 1)
    return bottom + 28


def _bar_along(drawing: Drawing, scale: Scale, y: float, stage: GainStage) -> None:
    clip, noise = stage.clip_at_reference_dbu, stage.noise_at_reference_dbu
    left = scale.at(scale.low if noise is None else noise)
    right = scale.at(scale.high - 1 if clip is None else clip)
    if clip is None:
        drawing.path([(left, y + 7), (right, y + 7)], "open", 1.5, stroke_dasharray="4 4")
        return
    if noise is None:
        drawing.path([(left, y + 7), (right, y + 7)], "open", 1.5, stroke_dasharray="4 4")
    else:
        corners = [(left, y), (right, y), (right, y + 14), (left, y + 14)]
        drawing.polygon(corners, "range", "currentColor", 0.12)
    drawing.path([(right, y - 3), (right, y + 17)], "clip", 3)


def hiss_words(ladder: GainLadder) -> tuple[str, str]:
    """The hiss at the nearest listener: the figure, and what it stands on."""
    where = "" if ladder.hiss_distance_m is None else f" at {number(ladder.hiss_distance_m)} m"
    if ladder.hiss_db is not None:
        return level(ladder.hiss_db), f"hiss{where}, unweighted, an upper estimate"
    if ladder.hiss_at_least_db is not None:
        return f"at least {level(ladder.hiss_at_least_db)}", f"hiss{where}, some sources unknown"
    return "unknown", "hiss at the nearest listener"


def aligned_words(ladder: GainLadder) -> str:
    """The level control at which processor and amplifier clip together."""
    db = ladder.aligned_level_control_db
    if db is None:
        return "unknown"
    if db > 0:
        return f"above fully up by {level(db)}"
    return "fully up" if db == 0 else level(db)
