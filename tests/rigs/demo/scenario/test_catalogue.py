"""Invented, but physically possible: what no data sheet could contradict."""

import math
from itertools import pairwise

import pytest

from rigs.catalogue.models import Amplifier, Cable, Loudspeaker, Mode, Way

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("filled")]

# MATH: 1 W into half a space gives rho c / (2 pi) Pa2 at 1 m, 112.1 dB with 413 Pa s/m.
ALL_OF_THE_POWER_DB = 112.1
# The same into the whole space; a box that beams has Molloy's Q more on its axis.
ALL_ROUND_DB = ALL_OF_THE_POWER_DB - 10 * math.log10(2)


def ways():
    return list(Way.objects.select_related("loudspeaker"))


def per_watt_db(way: Way) -> float:
    """Sensitivity at 1 W: 2.83 V is more than 1 W in less than 8 ohm (job.md trap 10)."""
    if way.sensitivity_basis == Way.SensitivityBasis.ONE_WATT:
        return way.sensitivity_db
    return way.sensitivity_db - 10 * math.log10(2.83**2 / way.rated_impedance_ohm)


def directivity(way: Way) -> float:
    """Molloy's Q (checks.md section 7, READ): 90 x 40 degrees has 12.861."""
    h, v = (math.radians(min(180, a)) for a in (way.coverage_h_deg, way.coverage_v_deg))
    return 180 / math.degrees(math.asin(math.sin(h / 2) * math.sin(v / 2)))


def test_there_are_enough_types_of_each_kind():
    assert Loudspeaker.objects.count() >= 24
    assert Amplifier.objects.count() >= 10
    assert Cable.objects.count() >= 12


def test_loudspeakers_of_every_role_and_rated_impedances_of_every_kind():
    assert set(Loudspeaker.objects.values_list("role", flat=True)) == set(Loudspeaker.Role.values)
    assert {way.rated_impedance_ohm for way in ways()} == {4, 8, 16}


def test_no_way_radiates_more_than_a_believable_share_of_its_power():
    for way in ways():
        if way.sensitivity_db is None:
            continue
        assert per_watt_db(way) < ALL_OF_THE_POWER_DB, way.loudspeaker
        level_of_all = ALL_ROUND_DB + 10 * math.log10(directivity(way))
        efficiency = 10 ** ((per_watt_db(way) - level_of_all) / 10)
        assert 0.001 < efficiency < 0.15, (way.loudspeaker, efficiency)


def test_peak_rating_is_the_noise_rating_and_6_db():
    stated = [way for way in ways() if way.peak_power_w is not None]
    assert len(stated) > 20
    for way in stated:  # IEC 60268-5: noise with a crest factor of 2 (job.md rule 3, RECALL)
        assert 10 * math.log10(way.peak_power_w / way.noise_power_w) == pytest.approx(
            6.02, abs=0.01
        )


def test_minimum_impedance_is_known_for_some_and_within_the_standard():
    known = [way for way in ways() if way.minimum_impedance_ohm is not None]
    assert 0 < len(known) < len(ways())
    for way in known:  # IEC 60268-5: at least 0.8 of the rated one (job.md rule 1, RECALL)
        assert 0.8 <= way.minimum_impedance_ohm / way.rated_impedance_ohm < 1, way.loudspeaker


def test_figures_of_every_basis_and_some_unknown():
    bases = {basis for way in ways() for basis in way.basis.values()}
    assert bases >= {"measured", "assumed"}
    for name in ("sensitivity_db", "peak_power_w", "minimum_impedance_ohm"):
        assert any(getattr(way, name) is None for way in ways()), name
    assert Amplifier.objects.filter(damping_factor=None).exists()
    assert Cable.objects.filter(use="loudspeaker", area_mm2=None).exists()


def test_a_bigger_box_of_one_family_plays_lower():
    lowest = {way.loudspeaker.model: way.low_hz for way in ways() if way.name != "HF"}
    assert lowest["Bittern 18"] < lowest["Bittern 15"] < lowest["Haar 12"]
    assert (
        lowest["Curlew 15"] < lowest["Whimbrel 12"] < lowest["Whimbrel 10"] < lowest["Dabchick 8"]
    )


def test_mass_goes_with_size():
    for box in Loudspeaker.objects.exclude(mass_kg=None):
        density = box.mass_kg / (box.width_m * box.height_m * box.depth_m)
        assert 100 < density < 700, box  # kg/m3: wood, air and a magnet


def ratings(amplifier: Amplifier, mode: str) -> list[tuple[float, float, float]]:
    """(ohm, V, A) from the lightest load to the heaviest."""
    rows = amplifier.ratings.filter(mode=mode).order_by("-load_ohm")
    return [
        (r.load_ohm, math.sqrt(r.power_w * r.load_ohm), math.sqrt(r.power_w / r.load_ohm))
        for r in rows
    ]


def test_amplifier_voltage_sags_and_current_rises_as_the_load_falls():
    for amplifier in Amplifier.objects.all():
        for mode in Mode.values:
            rows = ratings(amplifier, mode)
            for (_, volts, amps), (_, heavier_volts, heavier_amps) in pairwise(rows):
                assert heavier_volts < volts, (amplifier, mode)
                assert heavier_amps > amps, (amplifier, mode)


def test_a_bridged_pair_has_twice_the_voltage_of_one_channel_at_half_the_load():
    bridging = [a for a in Amplifier.objects.all() if ratings(a, Mode.BRIDGED)]
    assert bridging
    for amplifier in bridging:
        single = {ohm: volts for ohm, volts, _ in ratings(amplifier, Mode.PER_CHANNEL)}
        for ohm, volts, _ in ratings(amplifier, Mode.BRIDGED):
            assert volts == pytest.approx(2 * single[ohm / 2]), amplifier
        limits = {mode.mode: mode for mode in amplifier.modes.all()}
        assert limits[Mode.BRIDGED].extra_gain_db == 6.02
        assert limits[Mode.BRIDGED].minimum_load_ohm == (
            2 * limits[Mode.PER_CHANNEL].minimum_load_ohm
        )


def test_the_amplifier_of_the_bridge_trap_is_the_one_of_the_design_paper():
    """job.md trap 1: 700 W / 4 ohm channels, bridged 8 ohm minimum, 105.8 V, 1400 W."""
    amplifier = Amplifier.objects.get(model="Moraine 2-700")
    ((ohm, volts, _), *_) = [r for r in ratings(amplifier, Mode.BRIDGED) if r[0] == 8]
    assert (ohm, round(volts, 1)) == (8, 105.8)
    assert amplifier.ratings.get(mode=Mode.BRIDGED, load_ohm=8).power_w == 1400
    assert amplifier.modes.get(mode=Mode.BRIDGED).minimum_load_ohm == 8


def test_every_stated_minimum_load_has_a_power_beside_it_or_a_true_impedance():
    for amplifier in Amplifier.objects.all():
        for limits in amplifier.modes.filter(minimum_kind="rated"):
            loads = [ohm for ohm, _, _ in ratings(amplifier, limits.mode)]
            assert min(loads) == limits.minimum_load_ohm, (amplifier, limits)


def test_gain_is_stated_one_way_or_the_other_and_believable():
    by_gain = [a for a in Amplifier.objects.all() if a.gain_db is not None]
    by_input = [a for a in Amplifier.objects.all() if a.sensitivity_v is not None]
    assert by_gain and by_input
    assert len(by_gain) + len(by_input) == Amplifier.objects.count()
    for amplifier in by_input:
        volts = {ohm: v for ohm, v, _ in ratings(amplifier, Mode.PER_CHANNEL)}
        gain = 20 * math.log10(volts[amplifier.sensitivity_load_ohm] / amplifier.sensitivity_v)
        assert 26 < gain < 45, amplifier


def test_mains_power_covers_the_output_and_the_losses():
    for amplifier in Amplifier.objects.exclude(eighth_power_w=None):
        full = amplifier.channels * amplifier.ratings.get(mode="per channel", load_ohm=4).power_w
        assert 0.4 < full / 8 / amplifier.eighth_power_w < 0.8, amplifier  # efficiency
        assert amplifier.idle_w < amplifier.eighth_power_w / 2
        assert amplifier.inrush_a > amplifier.eighth_power_w / amplifier.mains_v


def test_longer_or_thicker_cable_is_heavier():
    for area in (2.5, 4):
        family = Cable.objects.filter(model__startswith=f"4-pole {area:g} mm2").order_by("length_m")
        masses = [cable.mass_kg for cable in family]
        assert len(masses) == 5
        assert masses == sorted(masses)
    thin, thick = (Cable.objects.get(model=f"4-pole {a} mm2, 30 m") for a in (2.5, 4))
    assert thin.mass_kg < thick.mass_kg
    # copper alone, 8.9 g/cm3, four conductors over the whole length
    assert thick.mass_kg > 4 * 4e-6 * 30 * 8900


def test_a_cable_has_an_end_that_takes_and_one_that_feeds():
    for cable in Cable.objects.prefetch_related("ends"):
        assert sorted(end.side for end in cable.ends.all()) == ["feeds", "takes"], cable


def test_every_powered_and_every_driven_thing_can_be_connected():
    for loudspeaker in Loudspeaker.objects.all():
        assert loudspeaker.ends.filter(side="takes", connector__name__contains="pole").exists()
    for amplifier in Amplifier.objects.all():
        assert amplifier.ends.filter(side="takes", connector__name__startswith="IEC").exists()
        assert amplifier.ends.get(side="feeds").count == amplifier.channels
