"""A drive line drawn as a wiring picture: once across for paper and desk, once upright."""

from dataclasses import dataclass

from calc.prediction import LineResult
from calc.system import DriveLine, SystemDescription
from rigs.systems.pictures.limiting import Limiting, limiting_place
from rigs.systems.pictures.svg import TEXT_SIZE, Drawing, fitted, text_width
from rigs.systems.pictures.words import BoxWords, LineWords, line_words, sentences

LINE_HEIGHT = 18
PAD = 8
WIDE = 850.0
BLOCK, AMPLIFIER, CABLE, LEAD = 138.0, 152.0, 116.0, 36.0
BOXES_IN_ROW = 2
UPRIGHT = 340.0
RAIL = 10.0
WIRE_DROP = 46.0  # from the top of a block to its wire: two rows of words stand above it


def wiring_picture(
    line_result: LineResult,
    drive_line: DriveLine,
    system: SystemDescription,
    *,
    upright: bool = False,
) -> str:
    """Draw a drive line as SVG text.

    Parameters
    ----------
    line_result, drive_line, system
        The result of one line, the line, and the description that both come from.
    upright : bool
        Top to bottom, 340 units wide, for a phone; otherwise left to right, 850 wide.

    Returns
    -------
    str
        SVG with title and description; every name escaped; readable without colour or styles.
    """
    words = line_words(line_result, drive_line, system)
    limit = limiting_place(line_result)
    title = f"Drive line {drive_line.name}: {line_result.state}"
    drawing = Drawing(UPRIGHT if upright else WIDE, title, "wiring")
    draw = _draw_upright if upright else _draw_across
    height = draw(drawing, words, limit)
    told = sentences(words) + (f" Limiting: {limit.sentence}" if limit.place else "")
    return drawing.svg(height, told)


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of text in a block."""

    text: str
    bold: bool = False
    limiting: bool = False


def _block(drawing: Drawing, x: float, y: float, width: float, rows: list[_Row]) -> float:
    """Draw a block with rows of text; answer its height."""
    height = len(rows) * LINE_HEIGHT + 2 * PAD - 4
    drawing.rect(x, y, width, height)
    for number, row in enumerate(rows):
        baseline = y + PAD + TEXT_SIZE - 2 + number * LINE_HEIGHT
        drawing.text(x + PAD, baseline, row.text, bold=row.bold, limiting=row.limiting)
    return height


def _named(name: str, width: float, lines: int = 2) -> list[_Row]:
    return [_Row(text, bold=True) for text in fitted(name, width - 2 * PAD, lines)]


def _processor_rows(words: LineWords, limit: Limiting, width: float) -> list[_Row]:
    return [
        *_named(words.processor, width),
        _Row(words.output),
        *_wrapped(words.limiter, width, limit.at("limiter")),
    ]


def _amplifier_rows(words: LineWords, limit: Limiting, width: float) -> list[_Row]:
    return [
        *_named(words.amplifier, width),
        *_wrapped(words.sheet, width),
        *_wrapped(words.channel, width),
        _Row(words.level_control),
        _Row(words.gain),
        _Row(words.volts, limiting=limit.at("volts")),
        *_wrapped(words.load, width, limit.at("load")),
    ]


def _box_rows(box: BoxWords, number: int, limit: Limiting, width: float) -> list[_Row]:
    return [
        *_named(box.name, width),
        *_packed([box.way, box.impedance], width),
        *(_wrapped(box.series, width) if box.series else []),
        _Row(box.damping, limiting=limit.at("damping", number)),
    ]


def _packed(texts: list[str], width: float) -> list[_Row]:
    """Texts side by side while they fit, else below each other."""
    rows = [texts[0]]
    for text in texts[1:]:
        joined = f"{rows[-1]}, {text}"
        if text_width(joined) <= width - 2 * PAD:
            rows[-1] = joined
        else:
            rows.append(text)
    return [row for text in rows for row in _wrapped(text, width)]


def _wrapped(text: str, width: float, limiting: bool = False) -> list[_Row]:
    return [_Row(part, limiting=limiting) for part in fitted(text, width - 2 * PAD, 2)]


def _height(rows: list[_Row]) -> float:
    return len(rows) * LINE_HEIGHT + 2 * PAD - 4


# --- left to right --------------------------------------------------------------------------


def _draw_across(drawing: Drawing, words: LineWords, limit: Limiting) -> float:
    top = 4.0
    processor = _processor_rows(words, limit, BLOCK)
    amplifier = _amplifier_rows(words, limit, AMPLIFIER)
    amp_x = 1 + BLOCK + LEAD
    wire_y = top + WIRE_DROP
    _block(drawing, 1, top, BLOCK, processor)
    _block(drawing, amp_x, top, AMPLIFIER, amplifier)
    drawing.path([(1 + BLOCK, wire_y), (amp_x, wire_y)])
    left = max(_height(processor), _height(amplifier)) + top
    right = _chains_across(drawing, words, limit, amp_x + AMPLIFIER, top)
    return max(left, right) + 4


def _chains_across(
    drawing: Drawing, words: LineWords, limit: Limiting, amp_right: float, top: float
) -> float:
    """Boxes in rows of two; a chain that goes on wraps to the next row."""
    rail_x, wrap_x = amp_right + 6, amp_right + 13
    y, column, bottom = top, 0, top
    wire_y = previous_right = 0.0
    for number, box in enumerate(words.boxes):
        if number and (box.from_amplifier or column == BOXES_IN_ROW):
            y, column = bottom + 14, 0
        rows = _box_rows(box, number, limit, BLOCK)
        x = amp_right + column * (CABLE + BLOCK) + CABLE
        start_x = x - CABLE
        new_wire = y + WIRE_DROP
        if column:
            drawing.path([(start_x, new_wire), (x, new_wire)])
        elif number == 0:
            drawing.path([(amp_right, new_wire), (x, new_wire)])
        elif box.from_amplifier:
            drawing.dot(rail_x, top + WIRE_DROP, 3)
            drawing.path([(rail_x, top + WIRE_DROP), (rail_x, new_wire), (x, new_wire)])
        else:  # the chain goes on from the end of the row above
            turn = y - 7
            out = previous_right + 8
            drawing.path(
                [
                    (previous_right, wire_y),
                    (out, wire_y),
                    (out, turn),
                    (wrap_x, turn),
                    (wrap_x, new_wire),
                    (x, new_wire),
                ]
            )
        _cable_label(drawing, x - CABLE / 2 + 10, new_wire, box, limit.at("cable", number))
        tall = max(_block(drawing, x, y, BLOCK, rows), WIRE_DROP + 4.3 * LINE_HEIGHT)
        bottom = max(bottom, y + tall)
        wire_y, previous_right = new_wire, x + BLOCK
        column += 1
    if not words.boxes:
        y = top + WIRE_DROP
        drawing.path([(amp_right, y), (amp_right + CABLE, y)], stroke_dasharray="4 4")
        drawing.text(amp_right + CABLE + 8, y + 4, "drives no box")
        bottom = y + 10
    return bottom


def _cable_label(drawing: Drawing, x: float, y: float, box: BoxWords, limiting: bool) -> None:
    """The cable above its wire, what it does to the signal below."""
    drawing.text(x, y - 26, box.cable, anchor="middle", limiting=limiting)
    drawing.text(x, y - 8, box.area, anchor="middle", limiting=limiting)
    drawing.text(x, y + 18, box.volts, anchor="middle")
    drawing.text(x, y + 36, box.loss, anchor="middle", limiting=limiting)
    below = [box.heat, box.loss_in_all] if box.loss_in_all else [box.heat]
    for row, text in enumerate(below):
        drawing.text(x, y + 54 + row * LINE_HEIGHT, text, anchor="middle")


# --- top to bottom --------------------------------------------------------------------------


def _draw_upright(drawing: Drawing, words: LineWords, limit: Limiting) -> float:
    x, width = RAIL + 18, UPRIGHT - RAIL - 19
    y = 2.0
    y += _block(drawing, x, y, width, _processor_rows(words, limit, width))
    drawing.path([(x + 24, y), (x + 24, y + 22)])
    amp_top = y + 22
    y = amp_top + _block(drawing, x, amp_top, width, _amplifier_rows(words, limit, width))
    rail_end = 0.0
    for number, box in enumerate(words.boxes):
        limiting = limit.at("cable", number)
        rows = _box_rows(box, number, limit, width)
        box_top = y + 70
        drawing.text(x + 36, y + 21, f"{box.cable}, {box.area}", limiting=limiting)
        lost = f"{box.loss}, {box.loss_in_all}" if box.loss_in_all else box.loss
        drawing.text(x + 36, y + 39, f"{box.volts}, {lost}", limiting=limiting)
        drawing.text(x + 36, y + 57, box.heat)
        if box.from_amplifier and number:
            rail_end = box_top + 20
            drawing.path([(RAIL, rail_end), (x, rail_end)])
        else:
            drawing.path([(x + 24, y), (x + 24, box_top)])
        y = box_top + _block(drawing, x, box_top, width, rows)
    if rail_end:
        drawing.path([(x, amp_top + 20), (RAIL, amp_top + 20), (RAIL, rail_end)])
    if not words.boxes:
        drawing.path([(x + 24, y), (x + 24, y + 30)], stroke_dasharray="4 4")
        drawing.text(x + 36, y + 24, "drives no box")
        y += 30
    return y + 4
