"""Descriptions of an older format as one of today's, before they are read and checked.

Until format 1 a drive line said what its processor output does; now the output says it. What is
odd is left as it stands: the reader tells it with its place.
"""

from typing import Any

OF_THE_OUTPUT = {"processor_gain_db": "gain_db", "delay_ms": "delay_ms", "inverted": "inverted"}
PLAIN: dict[str, Any] = {"processor_gain_db": None, "delay_ms": 0.0, "inverted": False}


def upgraded(data: dict[str, Any]) -> dict[str, Any]:
    """The same description in today's format; one of another format is returned as it is.

    Lines on one output that differed: the first one's delay and polarity count, and a gain that
    they don't agree on becomes unknown. What a line without a processor output said about it is
    left out, as there is nothing that could do it.

    Raises
    ------
    ValueError
        Filters were given as a curve: no filter can be made of it.
    """
    if data["format"] != 1 or isinstance(data["format"], bool):
        return data
    data = data | {"format": 2, "processors": _processors(data.get("processors", []))}
    lines = data.get("drive_lines", [])
    if not isinstance(lines, list) or not all(isinstance(line, dict) for line in lines):
        return data
    outputs: dict[tuple[Any, Any], dict[str, Any]] = {}
    for index, line in enumerate(lines):
        _move(line, index, outputs)
    bare = [{k: v for k, v in ln.items() if k not in {*PLAIN, "response"}} for ln in lines]
    return data | {"drive_lines": bare, "outputs": list(outputs.values())}


def _move(line: dict[str, Any], index: int, outputs: dict[tuple[Any, Any], dict[str, Any]]) -> None:
    """What a line says about its output, into the outputs."""
    if line.get("response") is not None:
        raise ValueError(
            f"drive_lines[{index}].response: a curve cannot be read any more. Take it out and "
            "enter the filters of the output"
        )
    said = {new: line.get(old, PLAIN[old]) for old, new in OF_THE_OUTPUT.items()}
    place = (line.get("processor"), line.get("output"))
    if said == {new: PLAIN[old] for old, new in OF_THE_OUTPUT.items()}:
        return
    if not isinstance(place[0], str) or not place[0] or not isinstance(place[1], int):
        return
    there = outputs.setdefault(place, {"processor": place[0], "output": place[1], **said})
    if there["gain_db"] != said["gain_db"]:
        there["gain_db"] = None


def _processors(sheets: Any) -> Any:
    """The step of the limiter became part of what a processor can be set to."""
    if not isinstance(sheets, list):
        return sheets
    return [_processor(sheet) if isinstance(sheet, dict) else sheet for sheet in sheets]


def _processor(sheet: dict[str, Any]) -> dict[str, Any]:
    step = sheet.get("limiter_step_db")
    if not isinstance(step, dict) or "value" not in step:
        return sheet
    kept = {name: value for name, value in sheet.items() if name != "limiter_step_db"}
    return kept | {"abilities": {"limiter_dbu": {"step": step["value"]}}}
