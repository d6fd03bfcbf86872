"""Levels, transfer function, sweeps and checks against outside values."""

import tracemalloc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import butter, chirp, lfilter, sosfilt, sosfreqz

from calc.acoustics.weighting import c_weighting_db
from calc.signals.measuring.bandpass import energies
from calc.signals.measuring.checks import checked
from calc.signals.measuring.levels import levels
from calc.signals.measuring.microphone import Microphone
from calc.signals.measuring.noise import background_noise
from calc.signals.measuring.played import exponential_sweep, pink_noise
from calc.signals.measuring.spectra import piece_size, window_of
from calc.signals.measuring.sweep import deconvolved
from calc.signals.measuring.transfer import banded, transfer

FS = 48_000.0


def white(seconds: float, seed: int = 1) -> np.ndarray:
    return 0.1 * np.random.default_rng(seed).standard_normal(int(seconds * FS))


def test_c_weighting_table() -> None:
    """IEC 61672-1 C at nominal frequencies from 10 Hz (READ), exact mid-bands."""
    table = [
        -14.3, -11.2, -8.5, -6.2, -4.4, -3.0, -2.0, -1.3, -0.8, -0.5, -0.3, -0.2, -0.1, 0, 0, 0,
        0, 0, 0, 0, 0, 0, -0.1, -0.2, -0.3, -0.5, -0.8, -1.3, -2.0, -3.0, -4.4, -6.2, -8.5, -11.2,
    ]  # fmt: skip
    exact = 1000 * 10 ** (np.arange(-20, 14) / 10)
    assert c_weighting_db(exact) == pytest.approx(table, abs=0.06)


def test_a_weighted_white_noise() -> None:
    """LA - LZ of white noise to 24 kHz: exact -2.727 dB (MATH)."""
    found = levels(white(60), FS)[0]
    assert found.a_db - found.z_db == pytest.approx(-2.727, abs=0.02)
    assert found.z_db == pytest.approx(-20, abs=0.05)
    thirds = np.array(found.level_db, dtype=float)
    slope = np.polyfit(np.arange(15), thirds[15:], 1)[0] * 3  # dB per octave, base ten
    assert slope == pytest.approx(3.00, abs=0.02)  # MATH


def test_pink_noise_thirds_and_weighting() -> None:
    """Thirds within 0.2 dB above 40 Hz; LA - LZ -2.846 from 22.4 Hz to 22.4 kHz (MATH); crest
    factor 14 +- 0.7 dB (RUN pyfar 13.9, phonometry 14.2)."""
    played = pink_noise(60, FS, 22.4, 22_400)
    body = played.samples[round(played.start_s * FS) : -1000]
    found = levels(body, FS)[0]
    thirds = np.array(found.level_db, dtype=float)[3:29]
    assert np.abs(thirds - thirds.mean()).max() < 0.2
    assert found.a_db - found.z_db == pytest.approx(-2.846, abs=0.03)
    crest = 20 * np.log10(np.abs(body).max() / body.std())
    assert crest == pytest.approx(14.0, abs=0.7)
    assert (pink_noise(2, FS).samples == pink_noise(2, FS).samples).all()
    assert np.abs(played.samples[:100]).max() < 1e-4 < np.abs(body).max() < 1


def test_a_tone_is_read_as_it_is() -> None:
    """A full-scale sine: -3.0103 dB re full scale, in its own band; MATH."""
    tone = np.sin(2 * np.pi * 1000 * np.arange(20 * FS) / FS)
    found = levels(np.stack([tone, 0.5 * tone]), FS, Microphone(full_scale_db=120.0))
    assert found[0].level_db[16] == pytest.approx(116.99, abs=0.01)
    assert found[1].z_db == pytest.approx(116.99 - 6.02, abs=0.01)
    assert found[0].unit == "dB SPL"
    assert found[0].a_db == pytest.approx(found[0].z_db, abs=0.01)


def test_a_microphone_s_curve_is_taken_off() -> None:
    curve = Microphone((100.0, 10_000.0), (3.0, 3.0))
    plain, corrected = levels(white(5), FS)[0], levels(white(5), FS, curve)[0]
    assert plain.z_db - corrected.z_db == pytest.approx(3, abs=1e-6)


def test_short_recordings_refuse_low_bands() -> None:
    found = levels(white(0.5), FS)[0]
    assert found.level_db[0] is None and found.level_db[20] is not None
    assert "too short" in found.cannot[0]


@settings(max_examples=30, deadline=None)
@given(n=st.integers(1, 10**8), rate=st.sampled_from([44_100.0, FS, 96_000.0, 192_000.0]))
def test_pieces_count_every_moment_alike(n: int, rate: float) -> None:
    size = piece_size(n, rate)
    window = window_of(size).astype(float) ** 2
    edge = size // 4
    assert window[:edge] + window[-edge:] == pytest.approx(np.ones(edge), abs=1e-6)


def test_transfer_of_a_known_system() -> None:
    """0.5 z^-240 times a second-order high pass at 1 kHz: -6.280 dB at 2 kHz (RUN sosfreqz)."""
    played = white(30)
    sos = butter(2, 1000, "high", fs=FS, output="sos")
    heard = np.roll(0.5 * sosfilt(sos, played), 240)
    found = transfer(played, heard, FS)
    assert found.delay_ms == pytest.approx(5.0, abs=0.05) and found.cannot == ()
    late = round(found.delay_ms * FS / 1000) - 240
    hz = found.frequency_hz
    truth = 0.5 * sosfreqz(sos, hz, fs=FS)[1] * np.exp(2j * np.pi * hz * late / FS)
    inside = hz > 50
    assert np.abs(found.response[inside] / truth[inside] - 1).max() < 0.01
    assert found.coherence[inside].min() > 0.99
    bands = banded(found, np.array([500.0, 2000.0, 8000.0]), 12)
    assert bands.level_db == pytest.approx([-18.34, -6.28, -6.02], abs=0.03)
    assert all(bands.usable)


@pytest.mark.parametrize(("ratio_db", "coherence"), [(10, 0.913), (0, 0.512), (-10, 0.095)])
def test_coherence_and_h1_under_noise(ratio_db: float, coherence: float) -> None:
    """Noise at the output only: coherence S/(S+N), here S/N as stated over the whole band, and H1
    stays right. Theory 0.913 0.512 0.095 is that of 6 to 12 kHz under a source's slope; for white
    noise of both it is 0.909, 0.5 and 0.0909 (MATH)."""
    played = white(60, 1)
    heard = played + white(60, 2) * 10 ** (-ratio_db / 20)
    found = transfer(played, heard, FS)
    inside = (found.frequency_hz > 6000) & (found.frequency_hz < 12_000)
    assert found.coherence[inside].mean() == pytest.approx(coherence, abs=0.02)
    level = 20 * np.log10(np.abs(found.response[inside].mean()))
    assert level == pytest.approx(0, abs=0.06)


def test_nothing_in_common() -> None:
    """Coherence of strangers is 1 / averages, not 0; and it is said."""
    found = transfer(white(60, 1), white(60, 2), FS)
    assert found.coherence.mean() == pytest.approx(1 / found.averages, rel=0.15)
    assert "not found" in found.cannot[0]
    assert not any(banded(found, np.array([1000.0]), 3).usable)


@pytest.mark.parametrize("later", [-9000, -3, 0, 777, 30_000])
def test_the_delay_is_found_first(later: int) -> None:
    played = white(20)
    found = transfer(played, np.roll(-0.3 * played, later) + white(20, 5) * 0.1, FS)
    assert found.delay_ms == pytest.approx(1000 * later / FS)
    assert found.response[1000].real == pytest.approx(-0.3, abs=0.05)


def test_sweep_equals_its_formula() -> None:
    """scipy's chirp(method='logarithmic', phi=-90) is the same sweep (RUN, 2e-10); crest 3.01."""
    played = exponential_sweep(5, FS, rms_db=-10 * np.log10(2), ramp_s=0, end_s=0, tail_s=0)
    times = np.arange(len(played.samples)) / FS
    other = chirp(times, 20, 5, 20_000, method="logarithmic", phi=-90)
    assert played.samples == pytest.approx(other, abs=1e-8)
    assert played.growth_s == pytest.approx(0.723824, abs=1e-6)
    rms = np.sqrt(np.mean(played.samples**2))
    assert 20 * np.log10(np.abs(played.samples).max() / rms) == pytest.approx(3.01, abs=0.01)


def test_distortion_comes_out_by_order() -> None:
    """x + 0.1 x^2 + 0.1 x^3: 0.50172 and 0.79520 s ahead (MATH), -26.97 and -32.86 dB (RUN)."""
    played = exponential_sweep(5, FS, rms_db=-3.0103, ramp_s=0, end_s=0, tail_s=2)
    x = played.samples
    second, third, *higher = deconvolved(x + 0.1 * x**2 + 0.1 * x**3, played)[0].harmonics
    assert (second.ahead_s, third.ahead_s) == pytest.approx((0.50172, 0.79520), abs=1e-3)
    assert second.peak_db == pytest.approx(-26.97, abs=0.4)
    assert third.peak_db == pytest.approx(-32.86, abs=0.4)
    assert all(part.peak_db is None for part in higher)
    clean = deconvolved(x, played)[0]
    assert all(part.peak_db is None or part.peak_db < -60 for part in clean.harmonics)


def test_sweep_finds_a_known_system() -> None:
    """0.5 z^-240 times a second-order high pass: peak at sample 240 and these levels (RUN pyfar).

    What the range's lower edge rings ahead of time 0 is cut off, which the lowest level feels.
    """
    played = exponential_sweep(5, FS)
    sos = butter(2, 1000, "high", fs=FS, output="sos")
    found = deconvolved(np.roll(0.5 * sosfilt(sos, played.samples), 240), played)[0]
    assert found.arrival == 240 and found.cannot == ()
    level = 20 * np.log10(np.abs(np.fft.rfft(found.samples, int(FS))))
    assert level[100] == pytest.approx(-46.046, abs=0.02)
    truth = [-18.343, -9.031, -6.280, -6.021]
    assert level[[500, 1000, 2000, 8000]] == pytest.approx(truth, abs=2e-3)


def test_a_sweep_cut_short_is_said() -> None:
    played = exponential_sweep(5, FS, tail_s=0.2)
    assert "decay is cut" in deconvolved(played.samples, played)[0].cannot[0]
    with pytest.raises(ValueError, match="only a sweep"):
        deconvolved(white(1), pink_noise(1, FS))


def test_thirds_pass_class_1() -> None:
    """IEC 61260-1 class 1 at the stricter break-points, Ω^(1/3) (RUN pyfar)."""
    ratios = [1, 1.02920, 1.05925, 1.09018, 1.25893, 1.58489]
    most, least = [0.4, 0.5, 0.7, 1.4], [16.6, 40.5]
    n = int(4 * FS)
    times = np.arange(n) / FS
    found = []
    for ratio in ratios:
        tone = np.sin(2 * np.pi * 1000 * ratio * times) * np.hanning(n)
        band = next(energies(tone, FS, np.array([1000.0]), 3))
        found.append(10 * np.log10(band.energy.sum()))
    attenuation = found[0] - np.array(found)
    assert (attenuation[:4] <= most).all() and (attenuation[:4] >= -0.4).all()
    assert (attenuation[4:] >= least).all()


def test_what_is_wrong_is_said_first() -> None:
    tone = np.sin(2 * np.pi * 1000 * np.arange(10 * FS) / FS)
    assert checked(tone, FS).faults == ()
    assert "clips" in checked(np.clip(1.2 * tone, -1, 1), FS).faults[0]
    assert "clips" in checked(0.3 * np.clip(1.2 * tone, -1, 1), FS).faults[0]
    assert "silent" in checked(1e-6 * tone, FS).faults[0]
    assert "very quiet" in checked(1e-3 * tone, FS).warnings[0]
    assert "record longer" in checked(tone[:1000], FS).faults[0]
    assert "no numbers" in checked(np.append(tone, np.nan), FS).faults[0]
    assert "reference is missing" in checked(tone, FS, needs_reference=True).faults[0]
    wrong = checked(tone, FS, needs_reference=True, reference=tone, reference_hz=44_100)
    assert "44.1 kHz" in wrong.faults[0]
    drowned = checked(0.1 * tone + white(10), FS, noise=white(10, 9))
    assert "over the noise" in drowned.faults[0]
    assert drowned.signal_over_noise_db == pytest.approx(-3.0, abs=0.3)


@settings(max_examples=40, deadline=None)
@given(at=st.integers(0, 2_200_000), wide=st.integers(3, 12))
def test_a_cut_is_found_wherever_it_lies(at: int, wide: int) -> None:
    row = np.full(2_300_000, 0.1, dtype=np.float32)
    row[::2] = -0.1
    row[at : at + wide] = 1.0
    assert any("clips" in fault for fault in checked(row, FS).faults)


def test_background_noise() -> None:
    """White noise: its octaves rise by 3 dB (MATH)."""
    found = background_noise(white(20), FS, Microphone(full_scale_db=100.0))
    octaves = np.array(found.octave_db, dtype=float)
    assert np.diff(octaves[2:]) == pytest.approx(np.full(4, 3.0), abs=0.15)
    assert found.warnings == () and found.swing_db < 0.5
    swelling = white(20) * np.repeat([1, 0.1], int(10 * FS))
    assert "not steady" in background_noise(swelling, FS).warnings[0]
    assert "too short" in background_noise(white(3), FS).cannot[0]


def test_a_resonance_does_not_hide_the_arrival() -> None:
    """A ringing mode 20 dB above everything, and still the right delay."""
    played = white(20)
    ring = lfilter([1], [1, -2 * 0.9995 * np.cos(0.01), 0.9995**2], played)
    heard = np.roll(played + 0.001 * ring, 480)
    assert transfer(played, heard, FS).delay_ms == pytest.approx(10.0)


def test_a_long_recording_takes_little_memory() -> None:
    """Five minutes of two channels are 115 MB; reading them takes less than 20 MB more."""
    rows = np.zeros((2, int(300 * FS)), dtype=np.float32)
    rows[:, ::7] = 0.1
    tracemalloc.start()
    levels(rows, FS)
    reading = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert reading < 20e6


@pytest.mark.parametrize("at", [0, 1, 5, 40_000, 100_000, 143_990, 143_998, 143_999])
def test_every_moment_counts_alike_to_the_last_sample(at: int) -> None:
    """A click of 1 among 144,000 samples has the mean square 1 / 144,000, wherever it falls."""
    click = np.zeros(144_000)
    click[at] = 1.0
    below_10_hz = 10 * np.log10(1 - 2 * 10 / FS)
    expected = -10 * np.log10(len(click)) + below_10_hz
    assert levels(click, FS)[0].z_db == pytest.approx(expected, abs=0.002)
