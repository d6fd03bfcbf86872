"""What changed, by name."""

import dataclasses

import pytest

from calc.figure import UNKNOWN, Figure
from calc.serialise import differences
from calc.system import AmplifierPlace, Choices, Surroundings
from tests.calc.builders import (
    amplifier,
    area,
    boxes_on_one_line,
    cable,
    drive_line,
    full_system,
    link,
    loudspeaker,
    placement,
    system,
    way,
)

LONGER = cable("Flex 2.5 20 m", length=20)


def test_no_change() -> None:
    assert differences(system(), system()) == []


@pytest.mark.parametrize(
    ("changes", "sentences"),
    [
        (
            {
                "cables": (cable(), LONGER),
                "drive_lines": (drive_line(links=(link("Top 1", LONGER.name),)),),
            },
            [
                "Cable Flex 2.5 20 m was added.",
                "Drive line Left: cable 'Flex 2.5 10 m' became 'Flex 2.5 20 m'.",
            ],
        ),
        (
            {"placements": (placement(), placement("Top 3"))},
            ["Placement Top 3 was added."],
        ),
        ({"areas": ()}, ["Area Floor was taken out."]),
        (
            {"loudspeakers": (loudspeaker(ways=(way(impedance=4),)),)},
            [
                "Loudspeaker sheet Box, way 'full': rated impedance 8 ohm (data sheet) became "
                "4 ohm (data sheet)."
            ],
        ),
        (
            {"amplifiers": (amplifier(gain_db=UNKNOWN),)},
            ["Amplifier sheet Amp: gain 32 dB (data sheet) became unknown."],
        ),
        (
            {"amplifiers": (amplifier(ratings={8: 500, 2: 900}),)},
            [
                "Amplifier sheet Amp: rating 'per channel 4 ohm' was taken out.",
                "Amplifier sheet Amp: rating 'per channel 2 ohm' was added.",
                "Amplifier sheet Amp, rating 'per channel 8 ohm': power 400 W (data sheet) became "
                "500 W (data sheet).",
            ],
        ),
        (
            {"drive_lines": (drive_line(mode="bridged", level_control=-3, output=None),)},
            [
                "Drive line Left: output 1 became nothing.",
                "Drive line Left: mode 'per channel' became 'bridged'.",
                "Drive line Left: level control 0 dB became -3 dB.",
            ],
        ),
        (
            {"drive_lines": (drive_line(links=()),)},
            ["Drive line Left: box Top 1 was taken off."],
        ),
        (
            {"placements": (placement(x_m=2.5, unit="B-07"),)},
            [
                "Placement Top 1: position across 0 m became 2.5 m.",
                "Placement Top 1: unit nothing became 'B-07'.",
            ],
        ),
        (
            {"surroundings": Surroundings(temperature_c=30.0)},
            ["The air: temperature 20 degC became 30 degC."],
        ),
        (
            {"choices": Choices(crest_factor_db=15.0, cable_temperature_c=20.0)},
            ["The choices: crest factor 12 dB became 15 dB."],
        ),
        (
            {"amplifier_places": (AmplifierPlace("Rack 1 A", "Rack 1", "Amp", "AMP-003"),)},
            ["Amplifier place Rack 1 A: unit nothing became 'AMP-003'."],
        ),
        ({"event": "Morning"}, ["The event: name 'Evening' became 'Morning'."]),
        (
            {"areas": (area(corners=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))),)},
            ["Area Floor: its corners moved."],
        ),
    ],
)
def test_sentences(changes, sentences) -> None:
    assert differences(system(), system(**changes)) == sentences


def test_a_link_of_many_names_its_box() -> None:
    old = boxes_on_one_line(2, cables=(cable(), LONGER))
    line = old.drive_lines[0]
    links = (line.links[0], dataclasses.replace(line.links[1], cable=LONGER.name, pieces=2))
    new = dataclasses.replace(old, drive_lines=(dataclasses.replace(line, links=links),))
    assert differences(old, new) == [
        "Drive line Left, to Top 2: cable 'Flex 2.5 10 m' became 'Flex 2.5 20 m'.",
        "Drive line Left, to Top 2: pieces 1 became 2.",
    ]


def test_another_order_and_another_basis_are_changes() -> None:
    old = boxes_on_one_line(2)
    turned = dataclasses.replace(old, placements=old.placements[::-1])
    assert differences(old, turned) == ["Placements stand in another order."]
    sheet = dataclasses.replace(loudspeaker(), mass_kg=Figure(25.0, "measured"))
    (sentence,) = differences(system(), system(loudspeakers=(sheet,)))
    assert sentence.endswith("mass 25 kg (data sheet) became 25 kg (measured).")


def test_everything_that_came_later_is_told_by_name() -> None:
    told = differences(system(), full_system())
    for sentence in (
        "The mixer Desk was added.",
        "Circuit Socket was added.",
        "Rack feed Rack 1 was added.",
        "Support Point was added.",
        "Extra load Frame was added.",
        "Loudspeaker sheet Box, way 'full': an impedance curve was added.",
        "Amplifier place Rack 1 A: gain nothing became 30 dB.",
        "Drive line Left: attack nothing became 10 ms.",
        "Placement Top 1: support nothing became 'Point'.",
    ):
        assert sentence in told, told
    assert "The mixer Desk was taken out." in differences(full_system(), system())


def test_a_changed_feed_curve_and_mixer() -> None:
    old = full_system()
    feed = dataclasses.replace(old.rack_feeds[0], phase=None, circuit="")
    mixer = dataclasses.replace(old.mixer, name="Other desk")
    box = old.loudspeakers[0]
    curve = dataclasses.replace(box.ways[0].impedance_curve, phase_deg=())
    ways = (dataclasses.replace(box.ways[0], impedance_curve=curve),)
    new = full_system(
        rack_feeds=(feed,), mixer=mixer, loudspeakers=(dataclasses.replace(box, ways=ways),)
    )
    assert differences(old, new) == [
        "The mixer: name 'Desk' became 'Other desk'.",
        "Loudspeaker sheet Box, way 'full': its impedance curve changed.",
        "Rack feed Rack 1: phase 2 became nothing.",
        "Rack feed Rack 1: circuit 'Socket' became nothing.",
    ]
