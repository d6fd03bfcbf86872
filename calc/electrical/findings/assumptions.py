"""Which of the figures behind a check were only assumed by whoever entered them."""

from collections.abc import Iterator

from calc.electrical.line_figures import LineFigures
from calc.electrical.loads import limits_of
from calc.figure import Figure
from calc.words import number

IMPEDANCE = ("rated_impedance_ohm",)
RATING = ("rated_impedance_ohm", "noise_power_w")
GAIN = ("gain_db", "sensitivity_v", "sensitivity_load_ohm")
WAY_FIELDS: dict[str, tuple[str, ...]] = {
    "load": ("rated_impedance_ohm", "minimum_impedance_ohm"),
    "power": RATING,
    "peak": ("rated_impedance_ohm", "peak_power_w"),
    "cable_loss": IMPEDANCE,
    "damping": IMPEDANCE,
    "headroom": RATING,
    "limiter": (*RATING, "peak_power_w"),
    "pole_pair": (),
}
AMPLIFIER_FIELDS: dict[str, tuple[str, ...]] = {
    "damping": ("damping_factor",),
    "peak": ("peak_v",),
    "limiter": GAIN,
}
NAMES = {
    "rated_impedance_ohm": ("rated impedance", " ohm"),
    "minimum_impedance_ohm": ("minimum impedance", " ohm"),
    "noise_power_w": ("noise power", " W"),
    "peak_power_w": ("peak power", " W"),
    "programme_power_w": ("programme power", " W"),
    "peak_v": ("peak voltage", " V"),
    "damping_factor": ("damping factor", ""),
    "gain_db": ("gain", " dB"),
    "sensitivity_v": ("sensitivity", " V"),
    "sensitivity_load_ohm": ("load of the sensitivity", " ohm"),
    "minimum_load_ohm": ("minimum load", " ohm"),
    "power_w": ("power", " W"),
}
USES_POWER = ("power", "peak", "headroom", "limiter")


def assumed_inputs(figures: LineFigures, check: str) -> tuple[str, ...]:
    """A sentence for every assumed figure that a check rests on, each once."""
    return tuple(dict.fromkeys(_sentences(figures, check)))


def _sentences(figures: LineFigures, check: str) -> Iterator[str]:
    for box in figures.boxes:
        for field in WAY_FIELDS[check]:
            yield from _if_assumed(box.name, field, getattr(box.way, field))
        if check == "peak" and not box.way.peak_power_w.known:
            yield from _if_assumed(box.name, "noise_power_w", box.way.noise_power_w)
        if check == "limiter" and figures.limiter_basis == "programme":
            yield from _if_assumed(box.name, "programme_power_w", box.way.programme_power_w)
        curve = box.way.impedance_curve
        if check == "load" and curve is not None and curve.basis == "assumed":
            yield f"{box.name}: its impedance curve is assumed."
    sheet = figures.sheet
    if sheet is None:
        return
    for field in AMPLIFIER_FIELDS.get(check, ()):
        if not (figures.gain_set and field in GAIN):
            yield from _if_assumed(sheet.name, field, getattr(sheet, field))
    if check == "load":
        limits = limits_of(sheet, figures.line.mode)
        if limits is not None:
            yield from _if_assumed(sheet.name, "minimum_load_ohm", limits.minimum_load_ohm)
    if check in USES_POWER:
        for rating in sheet.ratings:
            label = f"{sheet.name}, {rating.mode} at {number(rating.load_ohm)} ohm"
            yield from _if_assumed(label, "power_w", rating.power_w)


def _if_assumed(label: str, field: str, figure: Figure) -> Iterator[str]:
    if figure.basis == "assumed" and figure.value is not None:
        name, unit = NAMES[field]
        yield f"{label}: its {name} of {number(figure.value)}{unit} is assumed."
