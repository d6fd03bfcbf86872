"""What makes no sense is told in a sentence."""

import dataclasses

import pytest

from calc.check import check, check_lines, validate
from calc.system import (
    AmplifierPlace,
    Choices,
    MixerSheet,
    ProcessorPlace,
    Supply,
    Surroundings,
)
from tests.calc.builders import (
    amplifier,
    area,
    cable,
    drive_line,
    known,
    link,
    loudspeaker,
    placement,
    processor,
    system,
    way,
)


def test_the_example_is_valid() -> None:
    assert validate(system()) == []


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"placements": (placement(sheet="Gone"),)}, "there is no loudspeaker 'Gone'"),
        ({"drive_lines": (drive_line(links=(link("Gone"),)),)}, "there is no placement 'Gone'"),
        ({"drive_lines": (drive_line(links=(link(cable_name="Gone"),)),)}, "no cable 'Gone'"),
        ({"drive_lines": (drive_line(links=(link(way_name="HF"),)),)}, "has no way 'HF'"),
        ({"drive_lines": (drive_line(amplifier_place="X"),)}, "no amplifier place 'X'"),
        ({"amplifier_places": (AmplifierPlace("Rack 1 A", "", "X"),)}, "no amplifier 'X'"),
        ({"processor_places": (ProcessorPlace("FOH", "X"),)}, "no processor 'X'"),
        ({"drive_lines": (drive_line(channel=3),)}, "has 2 channels"),
        ({"drive_lines": (drive_line(channel=2, mode="bridged"),)}, "does not fit"),
        ({"drive_lines": (drive_line(output=7),)}, "has 6 outputs, not number 7"),
        ({"drive_lines": (drive_line(level_control=3),)}, "between -120 and 0 dB"),
        ({"drive_lines": (drive_line(), drive_line("Right"))}, "is used by drive lines"),
        (
            {"drive_lines": (drive_line(mode="bridged"), drive_line("Right", channel=2, links=()))},
            "Channel 2 of 'Rack 1 A' is used by drive lines 'Left' and 'Right'",
        ),
        ({"drive_lines": (drive_line(links=(link(from_amplifier=False),)),)}, "first cable"),
        ({"drive_lines": (drive_line(links=(link(), link())),)}, "hangs on it twice"),
        ({"drive_lines": (drive_line(links=(link(pieces=0),)),)}, "1 to 100 cables"),
        ({"placements": (placement(), placement())}, "'Top 1' is there twice"),
        ({"placements": (placement(), placement(" "))}, "one has no name"),
        ({"loudspeakers": (loudspeaker(ways=(way(impedance=-8),)),)}, "rated_impedance_ohm must"),
        ({"loudspeakers": (loudspeaker(ways=(way(), way())),)}, "two ways of one name"),
        ({"loudspeakers": (loudspeaker(ways=(way(low_hz=known(17e3)),)),)}, "lowest frequency"),
        ({"loudspeakers": (loudspeaker(ways=(way(peak=100),)),)}, "peak power is below"),
        ({"amplifiers": (amplifier(channels=0),)}, "1 to 64 channels"),
        ({"amplifiers": (amplifier(power_factor=known(1.2)),)}, "power_factor must lie"),
        ({"amplifiers": (amplifier(damping_factor=known(0)),)}, "damping_factor must lie"),
        ({"amplifiers": (amplifier(minimum=0),)}, "minimum_load_ohm must lie"),
        ({"amplifiers": (amplifier(ratings={8: -1}),)}, "power_w must lie"),
        ({"cables": (cable(area=0),)}, "area_mm2 must lie"),
        ({"cables": (cable(length=-1),)}, "length_m must lie"),
        ({"processors": (processor(step=0),)}, "limiter's threshold: its step must lie above 0"),
        ({"areas": (area(corners=((0.0, 0.0), (1.0, 1.0))),)}, "at least three corners"),
        (
            {"areas": (area(corners=((0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0))),)},
            "crosses itself",
        ),
        ({"areas": (area(corners=((0.0, 0.0), (1.0, 0.0), (2.0, 0.0))),)}, "no surface"),
        ({"areas": (area(corners=((0.0, 0.0), (1e5, 0.0), (0.0, 1e5))),)}, "within 10000 m"),
        ({"placements": (placement(x_m=1e6),)}, "x_m must lie"),
        ({"placements": (placement(tilt_deg=100.0),)}, "tilt_deg must lie"),
        ({"areas": (area(rake_deg=89.0),)}, "rake_deg must lie"),
        ({"supplies": (Supply("S", 4, known(16), known(230), False),)}, "1, 2 or 3 phases"),
        ({"supplies": (Supply("S", 3, known(-16), known(230), False),)}, "amps_per_phase must"),
        ({"surroundings": Surroundings(temperature_c=-300.0)}, "temperature_c must lie"),
        ({"choices": Choices(grid_spacing_m=0.0)}, "grid_spacing_m must lie"),
        (
            {"loudspeakers": (loudspeaker(ways=(way(programme_power_w=known(100)),)),)},
            "programme power is below its noise power",
        ),
        ({"amplifiers": (amplifier(peak_v=known(0)),)}, "peak_v must lie"),
        ({"amplifiers": (amplifier(third_power_w=known(-1)),)}, "third_power_w must lie"),
        (
            {"amplifier_places": (AmplifierPlace("Rack 1 A", "", "Amp", gain_db=200.0),)},
            "gain_db must lie",
        ),
        (
            {"drive_lines": (dataclasses.replace(drive_line(), attack_ms=0.0),)},
            "attack_ms must lie",
        ),
        (
            {"drive_lines": (dataclasses.replace(drive_line(), nearest_listener_m=0.0),)},
            "nearest_listener_m must lie",
        ),
        ({"mixer": MixerSheet("Desk", known(99))}, "max_output_dbu must lie"),
    ],
)
def test_faults(changes, words: str) -> None:
    described = system(**changes)
    faults = validate(described)
    assert any(words in fault for fault in faults), faults
    for door in (check, check_lines):
        with pytest.raises(ValueError):
            door(described)


def test_unknown_figures_are_no_fault() -> None:
    bare = loudspeaker(ways=(way(impedance=None, minimum=None, power=None, peak=None),))
    assert validate(system(loudspeakers=(bare,))) == []


def test_names_that_nobody_said_are_no_fault() -> None:
    line = dataclasses.replace(drive_line(), processor="", amplifier="", output=None)
    bare = dataclasses.replace(line, links=(link(cable_name=""),))
    assert validate(system(drive_lines=(bare,))) == []
