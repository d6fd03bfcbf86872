"""A drive line as a network: what arrives at each box, and what each cable takes."""

from collections.abc import Iterable

from rigs.packets.compute import BoxResult, LineResult, RunResult
from rigs.packets.sections.blocks import UNKNOWN, Json, figures, fold, number, quantity, table

NO_CURVE = "unknown: no impedance curve"
"""Why the tilt is not known: without a curve the loss is alike at every frequency."""


def network_fold(result: LineResult) -> list[Json]:
    """The fold of one line's card; none for a line without boxes."""
    if not result.boxes:
        return []
    parts = [_whole(result), _at_boxes(result.boxes)]
    if result.runs:
        parts.append(_in_cables(result))
    return [fold("Box by box and cable by cable", *parts)]


def _whole(result: LineResult) -> Json:
    """What no finding says: loss, damping and the amplifier's peaks have their own."""
    return figures(
        ("Driven to", quantity(result.drive_v, "V")),
        ("Between the boxes", quantity(result.cable_spread_db, "dB")),
        ("Tilt by the cable", _tilt(result.cable_tilt_db)),
        ("Left in the cable", _lost(result)),
        ("For the programme's peaks", _spare(result.crest_headroom_db)),
    )


def _spare(value: float | None) -> str:
    """How much of the amplifier's peak is left over, or lacking, for the event's crest factor."""
    if value is None:
        return UNKNOWN
    return f"{quantity(abs(value), 'dB')} {'short' if value < 0 else 'to spare'}"


def _lost(result: LineResult) -> str:
    words = quantity(result.cable_loss_w, "W")
    if result.cable_loss_share is None:
        return words
    return f"{words}, {number(100 * result.cable_loss_share)} % of the power"


def _tilt(value: float | None) -> str:
    return NO_CURVE if value is None else quantity(value, "dB")


def _at_boxes(boxes: Iterable[BoxResult]) -> Json:
    return table(
        "At each box",
        ("Box", "#Volts", "#Amps", "#Power", "#Lost", "#Tilt", "#Damping"),
        [
            (
                f"{box.placement}, {box.way}",
                quantity(box.voltage_v, "V"),
                quantity(box.current_a, "A"),
                quantity(box.power_w, "W"),
                quantity(box.cable_loss_db, "dB"),
                quantity(box.tilt_db, "dB"),
                quantity(box.damping_factor, "1"),
            )
            for box in boxes
        ],
    )


def _in_cables(result: LineResult) -> Json:
    return table(
        "In each cable",
        ("From", "To", "Cable", "#Loop", "#Amps", "#Heat", "#Heat a metre"),
        [_cable(run, result.amplifier) for run in result.runs],
    )


def _cable(run: RunResult, amplifier: str) -> tuple[str, ...]:
    return (
        run.start or amplifier or "amplifier",
        f"{run.placement} (in series)" if run.in_series else run.placement,
        run.cable or "not named",
        _ohms(run.loop_ohm),
        quantity(run.current_a, "A"),
        quantity(run.loss_w, "W"),
        quantity(run.heat_w_per_m, "W/m"),
    )


def _ohms(value: float | None) -> str:
    """Small resistances in milliohm, where the figures are."""
    if value is None:
        return UNKNOWN
    return quantity(1000 * value, "mohm") if value < 1 else quantity(value, "ohm")
