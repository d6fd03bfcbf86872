"""What is offered in place of something that is not free."""

import pytest

from rigs.catalogue.models import Item, Rating
from rigs.events.similar import stand_ins
from tests import factories as make

pytestmark = pytest.mark.django_db


def names(item: Item) -> list[str]:
    return [stand_in.item.model for stand_in in stand_ins(item)]


def test_loudspeakers_of_the_same_role_closest_in_level_first() -> None:
    wanted = make.loudspeaker(way={"sensitivity_db": 98.0, "noise_power_w": 400.0})
    make.loudspeaker(model="4 dB quieter", way={"sensitivity_db": 94.0})
    make.loudspeaker(model="1 dB louder", way={"sensitivity_db": 99.0})
    make.loudspeaker(model="far quieter", way={"sensitivity_db": 88.0})
    make.loudspeaker(model="a sub", role="sub")
    make.loudspeaker(model="unknown", way={"noise_power_w": None})
    two_ways = make.loudspeaker(model="two ways")
    make.add_way(two_ways)
    assert names(wanted) == ["1 dB louder", "4 dB quieter"]


def test_a_sensitivity_at_2_83_volts_is_not_one_at_a_watt() -> None:
    """2.83 V at 4 ohm is 2 W: 97 dB there is 94 dB at 1 W (job, trap 10)."""
    wanted = make.loudspeaker(way={"sensitivity_db": 94.0})
    make.loudspeaker(
        model="same",
        way={"sensitivity_db": 97.0, "sensitivity_basis": "2.83 V", "rated_impedance_ohm": 4.0},
    )
    (found,) = stand_ins(wanted)
    assert found.why == "same role, as loud"


def test_amplifiers_with_as_many_channels_whose_ratings_cover() -> None:
    wanted = make.amplifier(ratings={8.0: 500.0, 4.0: 900.0}, bridged={8.0: 1800.0})
    fits = {"ratings": {8.0: 700.0, 4.0: 1200.0}, "bridged": {8.0: 2400.0}}
    make.amplifier(model="covers", **fits)
    make.amplifier(model="covers, 4 channels", channels=4, **fits)
    make.amplifier(model="weak at 4", **{**fits, "ratings": {8.0: 700.0, 4.0: 800.0}})
    make.amplifier(model="no bridge", ratings={8.0: 700.0, 4.0: 1200.0})
    make.amplifier(model="one channel", channels=1, **fits)
    make.amplifier(model="not so low", minimum_ohm=8.0, **fits)
    unknown = make.amplifier(model="unknown", **fits)
    Rating.objects.filter(amplifier=unknown, load_ohm=4.0).update(power_w=None)
    assert names(wanted) == ["covers", "covers, 4 channels"]


def test_cables_of_the_same_use_and_ends_as_long_or_longer() -> None:
    def cable(model: str, takes: str = "twist-lock 4-pole", **fields) -> Item:
        item = make.cable(model=model, **fields)
        make.end(item, takes, "takes")
        make.end(item, "twist-lock 4-pole", "feeds")
        return item

    wanted = cable("wanted", length_m=10.0)
    cable("20 m", length_m=20.0)
    cable("15 m", length_m=15.0)
    cable("5 m", length_m=5.0)
    cable("thin", length_m=15.0, area_mm2=1.5)
    cable("unknown area", length_m=15.0, area_mm2=None)
    cable("other end", takes="twist-lock 8-pole", length_m=15.0)
    cable("signal", use="signal", length_m=15.0)
    assert names(wanted) == ["15 m", "20 m"]


def test_nothing_stands_in_for_processors_and_accessories() -> None:
    make.processor()
    make.accessory()
    assert stand_ins(make.processor()) == []
    assert stand_ins(make.accessory()) == []
