"""What figures may be, and the sentence about one that is not."""

from collections.abc import Iterator

from calc.figure import Figure
from calc.words import number

Range = tuple[float, float]
LEVEL: Range = (-200.0, 200.0)
GAIN: Range = (-20.0, 80.0)
DBU: Range = (-150.0, 60.0)
POSITIVE: Range = (1e-6, 1e6)
ZERO_UP: Range = (0.0, 1e6)
ANGLE: Range = (1.0, 360.0)
FREQUENCY: Range = (1.0, 100_000.0)
SIZE: Range = (0.01, 20.0)
PLACE: Range = (-10_000.0, 10_000.0)
TURN: Range = (-360.0, 360.0)
IMPEDANCE: Range = (0.1, 10_000.0)

WAY_RANGES: dict[str, Range] = {
    "rated_impedance_ohm": IMPEDANCE,
    "minimum_impedance_ohm": IMPEDANCE,
    "noise_power_w": POSITIVE,
    "peak_power_w": POSITIVE,
    "sensitivity_db": LEVEL,
    "low_hz": FREQUENCY,
    "high_hz": FREQUENCY,
    "coverage_h_deg": ANGLE,
    "coverage_v_deg": ANGLE,
    "programme_power_w": POSITIVE,
    "piston_diameter_m": (0.005, 5.0),
    "least_high_pass_hz": (0.0, 100_000.0),
    "least_high_pass_order": (1, 8),
}
AMPLIFIER_RANGES: dict[str, Range] = {
    "gain_db": GAIN,
    "sensitivity_v": POSITIVE,
    "sensitivity_load_ohm": IMPEDANCE,
    "damping_factor": POSITIVE,
    "mains_v": (1.0, 1000.0),
    "idle_w": ZERO_UP,
    "eighth_power_w": ZERO_UP,
    "power_factor": (0.01, 1.0),
    "inrush_a": ZERO_UP,
    "third_power_w": ZERO_UP,
    "peak_v": (0.1, 10_000.0),
    "input_clip_dbu": DBU,
    "output_noise_dbu": DBU,
}
CABLE_RANGES: dict[str, Range] = {"area_mm2": (0.05, 1000.0), "length_m": (0.0, 5000.0)}
PROCESSOR_RANGES: dict[str, Range] = {
    "max_output_dbu": (-60.0, 60.0),
    "max_input_dbu": DBU,
    "output_noise_dbu": DBU,
}
ABILITY_RANGES: dict[str, Range] = {
    "filters_per_output": (0, 1000),
    "sampling_hz": (8000.0, 1e6),
    "latency_ms": (0.0, 1000.0),
}
OUTPUT_RANGES: dict[str, Range] = {"gain_db": (-120.0, 60.0), "delay_ms": (0.0, 10_000.0)}
FILTER_RANGES: dict[str, Range] = {
    "frequency_hz": FREQUENCY,
    "gain_db": (-60.0, 60.0),
    "q": (0.05, 200.0),
}
MIXER_RANGES: dict[str, Range] = {"max_output_dbu": (-60.0, 60.0), "output_noise_dbu": DBU}
LINE_RANGES: dict[str, Range] = {
    "attack_ms": (0.01, 10_000.0),
    "release_ms": (0.01, 100_000.0),
    "nearest_listener_m": (0.1, 10_000.0),
}
SURROUNDINGS_RANGES: dict[str, Range] = {
    "temperature_c": (-40.0, 60.0),
    "humidity_pct": (0.0, 100.0),
    "pressure_kpa": (50.0, 120.0),
}
CHOICES_RANGES: dict[str, Range] = {
    "crest_factor_db": (3.0, 30.0),
    "cable_temperature_c": (-40.0, 120.0),
    "grid_spacing_m": (0.05, 50.0),
    "coherent_below_hz": (0.0, 100_000.0),
    "equivalent_distance_m": (0.05, 20.0),
}
SHOW_RANGES: dict[str, Range] = {
    "target_dba": (30.0, 150.0),
    "hours": (0.01, 24.0),
    "programme_dbu": DBU,
    "speech_dba": (30.0, 120.0),
}


def numbers(part: object, ranges: dict[str, Range], label: str) -> Iterator[str]:
    """A sentence for every field whose value lies outside of its range."""
    for field, (low, high) in ranges.items():
        held = getattr(part, field)
        value = held.value if isinstance(held, Figure) else held
        if value is not None and not low <= value <= high:
            yield (
                f"{label}: {field} must lie between {number(low)} and {number(high)}, "
                f"it is {number(value)}."
            )
