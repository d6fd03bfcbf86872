"""Invented, but physically possible: what no data sheet could contradict."""

import math
from itertools import pairwise

import pytest

from rigs.catalogue.models import Amplifier, Cable, Loudspeaker, Mixer, Mode, Processor, Rating, Way

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


def curves():
    return {f"{w.loudspeaker.model} {w.name}": (w, w.curve) for w in ways() if w.curve}


def test_some_ways_have_an_impedance_curve_with_phase_and_one_without():
    assert sum(bool(curve.phase_deg) for _, curve in curves().values()) >= 3
    assert any(not curve.phase_deg for _, curve in curves().values())


def test_a_curve_agrees_with_a_minimum_that_was_measured_too():
    measured = [
        (way, curve)
        for way, curve in curves().values()
        if way.basis_of("minimum_impedance_ohm") == "measured"
    ]
    assert measured
    for way, curve in measured:
        _, least = curve.minimum(way.low_hz, way.high_hz)
        assert least == pytest.approx(way.minimum_impedance_ohm, rel=0.03), way.loudspeaker


@pytest.mark.parametrize("name", ["Bittern 18 LF", "Godwit 15 LF", "Whimbrel 12 full range"])
def test_a_bass_reflex_box_has_two_humps_and_its_port_between_them(name):
    _, curve = curves()[name]
    ohm = [z for hz, z, _ in curve.points() if hz < 150]
    humps = [b for a, b, c in zip(ohm, ohm[1:], ohm[2:], strict=False) if a < b > c]
    dips = [b for a, b, c in zip(ohm, ohm[1:], ohm[2:], strict=False) if a > b < c]
    assert len(humps) == 2
    assert len(dips) >= 1
    assert min(humps) > 2 * min(dips)


def test_phase_turns_where_the_magnitude_stands_still():
    """A minimum-phase impedance is inductive while it rises and capacitive while it falls."""
    for name, (_, curve) in curves().items():
        if not curve.phase_deg:
            continue
        rows = curve.points()
        for (_, before, _), (hz, _, degrees), (_, after, _) in zip(
            rows, rows[1:], rows[2:], strict=False
        ):
            slope = math.log(after / before)
            if abs(slope) > 0.15:
                assert slope * degrees > 0, (name, hz)


def test_one_old_box_dips_below_what_its_rating_allows():
    low = [
        way.loudspeaker.model
        for way, curve in curves().values()
        if curve.minimum(way.low_hz, way.high_hz)[1] < 0.8 * way.rated_impedance_ohm
    ]
    assert low == ["Feldspar 12"]


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


def test_mains_power_at_a_third_covers_the_output_too():
    stated = Amplifier.objects.exclude(third_power_w=None)
    assert stated.count() >= 8
    for amplifier in stated:
        full = amplifier.channels * amplifier.ratings.get(mode="per channel", load_ohm=4).power_w
        eighth = full / 8 / amplifier.eighth_power_w
        third = full / 3 / amplifier.third_power_w
        assert eighth < third < 0.8, amplifier  # losses weigh less the more comes out


def test_noise_lies_far_below_full_power_and_the_input_clips_above_it():
    for amplifier in Amplifier.objects.exclude(output_noise_dbu=None):
        volts = max(v for _, v, _ in ratings(amplifier, Mode.PER_CHANNEL))
        full_dbu = 20 * math.log10(volts / 0.7746)
        assert 85 < full_dbu - amplifier.output_noise_dbu < 115, amplifier
    for amplifier in Amplifier.objects.exclude(peak_v=None):
        volts = max(v for _, v, _ in ratings(amplifier, Mode.PER_CHANNEL))
        assert math.sqrt(2) * volts < amplifier.peak_v < 1.2 * math.sqrt(2) * volts, amplifier


def test_gain_switches_mixers_and_what_nobody_knows_of_them():
    switched = [a for a in Amplifier.objects.all() if a.gain_settings_db]
    assert switched
    assert all(a.gain_db in a.gain_settings_db for a in switched)
    assert Mixer.objects.count() == 3
    assert Mixer.objects.filter(output_noise_dbu=None).exists()
    assert Processor.objects.filter(output_noise_dbu=None).exists()
    for name in ("input_clip_dbu", "output_noise_dbu", "third_power_w", "peak_v"):
        assert Amplifier.objects.filter(**{name: None}).exists(), name
    assert set(Rating.objects.values_list("signal", flat=True)) == set(Rating.Signal.values)


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
