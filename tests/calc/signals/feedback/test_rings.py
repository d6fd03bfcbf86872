"""Rings: Nyquist against what loops do when they are closed, sample by sample."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import butter, iirnotch, lfilter, resample_poly

from calc.signals.feedback.crossings import crossings_of
from calc.signals.feedback.rings import (
    gain_before_feedback_db,
    regenerated_db,
    ringing_now,
    rings_of,
)
from tests.calc.signals.feedback.paths import FS, closed, grows, loudest_hz, made_room
from tests.reference.recordings import (
    PLAYED_SWEEP,
    SWEEP_IN_ROOM_1,
    SWEEP_IN_ROOM_2,
    Recording,
    recording,
)

SIZE = 1 << 17


def real_room(room: Recording = SWEEP_IN_ROOM_1) -> np.ndarray:
    """The path of a room as a loop, as room 1's check values were made (see the test below)."""
    heard, rate = recording(room)
    played, _ = recording(PLAYED_SWEEP)
    size = 1 << int(np.ceil(np.log2(len(heard) + len(played))))
    source = np.fft.rfft(played, size)
    power = np.abs(source) ** 2
    spectrum = np.fft.rfft(heard, size) * source.conj() / (power + 1e-4 * power.max())
    response = np.fft.irfft(spectrum, size)
    peak = int(np.abs(response).argmax())
    assert rate == 44_100
    row = resample_poly(response[peak - 100 : peak - 100 + 3 * 44_100], 160, 441)
    row = row[20 : 20 + int(0.3 * FS)]
    row = row / np.abs(np.fft.rfft(row, SIZE)).max()
    row = lfilter(*butter(4, [100, 6000], "band", fs=FS), row)
    return np.concatenate([np.zeros(48), row])


def spectrum_of(row: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    return np.fft.rfftfreq(SIZE, 1 / FS), np.fft.rfft(row, SIZE)


@pytest.mark.parametrize("seed", range(6))
def test_a_loop_rings_above_its_margin_and_dies_below(seed: int) -> None:
    """Nyquist against the time simulation, within 0.1 dB and 1 Hz."""
    row = made_room(seed)
    hz, response = spectrum_of(row)
    margin = float(gain_before_feedback_db(response)[0])
    assert not grows(row, margin - 0.1, 12.0)
    assert grows(row, margin + 0.1, 12.0)
    first = rings_of(hz, response)[0]
    assert first.margin_db == pytest.approx(margin)
    past = [ring.frequency_hz for ring in rings_of(hz, response) if ring.margin_db < margin + 0.2]
    howls = loudest_hz(closed(row, margin + 0.2, 12.0))
    assert min(abs(howls - one) for one in past) < 1.0 and len(past) <= 3


def test_the_loop_on_a_real_path() -> None:
    """Room 1's measured path closed in a loop: 321.69 Hz, stable up to +2.173 dB (RUN: Nyquist
    and lfilter by others); next 308.2, 545.7, 349.3 Hz at -2.36, -2.40, -2.48 dB behind. The
    magnitude alone peaks at 431.2 Hz, where it does not ring.
    """
    row = real_room()
    hz, response = spectrum_of(row)
    found = rings_of(hz, response)
    assert found[0].frequency_hz == pytest.approx(321.69, abs=1.0)
    assert found[0].margin_db == pytest.approx(2.173, abs=0.1)
    behind = {round(ring.frequency_hz): ring.margin_db - found[0].margin_db for ring in found[1:4]}
    assert behind == {
        308: pytest.approx(2.36, abs=0.1),
        546: pytest.approx(2.40, abs=0.1),
        349: pytest.approx(2.48, abs=0.1),
    }
    assert hz[np.abs(response).argmax()] == pytest.approx(431.2, abs=1.0)
    assert all(abs(ring.frequency_hz - 431.2) > 2 for ring in found[:4])
    assert not grows(row, 2.173 - 0.1, 12.0) and grows(row, 2.173 + 0.1, 12.0)


@pytest.mark.parametrize("room", [SWEEP_IN_ROOM_1, SWEEP_IN_ROOM_2], ids=["room 1", "room 2"])
def test_real_paths_howl_where_and_when_they_are_said_to(room: Recording) -> None:
    """Nyquist against the time simulation on both rooms, within 1 Hz and 0.1 dB."""
    row = real_room(room)
    hz, response = spectrum_of(row)
    margin = float(gain_before_feedback_db(response)[0])
    assert not grows(row, margin - 0.1, 12.0) and grows(row, margin + 0.1, 12.0)
    howls = loudest_hz(closed(row, margin + 0.3, 9.0))
    near = [one for one in rings_of(hz, response) if one.margin_db < margin + 0.3]
    assert min(abs(howls - one.frequency_hz) for one in near) < 1.0


@pytest.mark.parametrize(("margin", "lifted"), [(3, 10.69), (6, 6.04)])
def test_what_a_real_path_lifts_at_its_ring(margin: float, lifted: float) -> None:
    """Three real paths lifted 10.74 to 10.80 and 6.07 to 6.12 dB (RUN): by the spectrum of what a
    click becomes in the closed loop, over that of the click.
    """
    row = real_room()
    hz, response = spectrum_of(row)
    first = rings_of(hz, response)[0]
    ringing = np.fft.rfft(closed(row, first.margin_db - margin, 4.0), SIZE)
    near = np.abs(hz - first.frequency_hz) < 3
    found = 20 * np.log10(np.abs(ringing[near]).max())
    assert lifted - 0.05 < found < lifted + 0.15


@pytest.mark.parametrize(("q", "gained"), [(10, 2.35), (30, 1.22), (116, 1.81)])
def test_one_notch_gives_little_there_and_more_q_not_more_gain(q: float, gained: float) -> None:
    """The same path with one notch at its first ring (RUN: scipy's iirnotch)."""
    row = real_room()
    hz, response = spectrum_of(row)
    before = gain_before_feedback_db(response)[0]
    over, under = iirnotch(rings_of(hz, response)[0].frequency_hz, q, fs=FS)
    turn = np.exp(-2j * np.pi * hz / FS)
    notch = np.polyval(over[::-1], turn) / np.polyval(under[::-1], turn)
    assert gain_before_feedback_db(response * notch)[0] - before == pytest.approx(gained, abs=0.1)


@pytest.mark.parametrize(("margin", "lifted"), [(3, 10.69), (6, 6.04), (12, 2.51)])
def test_what_a_loop_lifts_before_it_rings(margin: float, lifted: float) -> None:
    """-20 lg(1 - 10^(-margin/20)) (MATH); three real paths gave 10.74 to 10.80 and 6.07 to 6.12
    (RUN). Here a made path is closed, and its ring stands out by as much.
    """
    assert regenerated_db(margin) == pytest.approx(lifted, abs=0.005)
    row = made_room(3)
    hz, response = spectrum_of(row)
    first = rings_of(hz, response)[0]
    gain = 10 ** ((first.margin_db - margin) / 20)
    at = int(np.abs(hz - first.frequency_hz).argmin())
    whole = 20 * np.log10(np.abs(1 / (1 - gain * response[at])))
    assert whole == pytest.approx(lifted, abs=0.15)


def test_two_rings_are_two() -> None:
    """Modes at 212 and 226 Hz: bins of 23 Hz would show one at 219."""
    times = np.arange(2 * FS) / FS
    row = sum(np.sin(2 * np.pi * hz * times) * np.exp(-9 * times) for hz in (212.0, 226.0))
    hz, response = spectrum_of(np.asarray(row))
    found = rings_of(hz, 1j * response, within_db=3.0)
    assert sorted(round(ring.frequency_hz) for ring in found) == [212, 226]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 1000), st.floats(-40, 40), st.floats(0.05, 0.95), st.integers(1, 6))
def test_margins_move_with_the_gain_and_not_with_the_count(seed, gain_db, turn, loops) -> None:
    rng = np.random.default_rng(seed)
    lines = rng.standard_normal((loops, 400)) + 1j * rng.standard_normal((loops, 400))
    before = gain_before_feedback_db(lines)
    after = gain_before_feedback_db(lines * 10 ** (gain_db / 20))
    assert after == pytest.approx(before - gain_db)
    assert [gain_before_feedback_db(row)[0] for row in lines] == pytest.approx(before)
    # Whatever the phase, no loop has less margin than its highest magnitude allows.
    least = -20 * np.log10(np.abs(lines).max(axis=1))
    assert (gain_before_feedback_db(lines * np.exp(2j * np.pi * turn)) >= least - 1e-9).all()


def test_lines_that_cannot_be_believed_say_nothing() -> None:
    hz, response = spectrum_of(made_room(2))
    first = rings_of(hz, response)[0]
    believed = np.abs(hz - first.frequency_hz) > 5
    assert all(
        abs(ring.frequency_hz - first.frequency_hz) > 4
        for ring in rings_of(hz, response, believed=believed)
    )


def test_a_loop_that_is_never_in_step_has_all_the_margin_there_is() -> None:
    assert gain_before_feedback_db([-1 + 0j, -1 - 1j, -0.5 + 1j])[0] == 200
    assert rings_of(np.arange(3.0), [-1 + 0j, -1 - 1j, -0.5 + 1j]) == ()


@pytest.mark.parametrize(
    "loop", [[], [1j], [1, np.nan], np.zeros(5), [[1, 1j], [0, 0]], np.ones((2, 2, 2))]
)
def test_what_is_no_loop_is_refused_in_words(loop) -> None:
    with pytest.raises(ValueError, match="a loop"):
        gain_before_feedback_db(loop)


def test_frequencies_that_do_not_fit_are_refused_in_words() -> None:
    for hz in ([0.0, 1.0], [0.0, 2.0, 1.0], [-1.0, 0.0, 1.0], [0.0, 1.0, np.nan]):
        with pytest.raises(ValueError, match="a loop"):
            rings_of(hz, [1j, 1, -1j])


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 24), st.integers(1, 20), st.floats(-12, 12))
def test_as_many_rings_as_poles_outside_of_the_unit_circle(seed, taps, late, gain_db) -> None:
    """Of 1 - g h(z) as a polynomial: no frequency response enters here (MATH)."""
    rng = np.random.default_rng(seed)
    row = np.concatenate([np.zeros(late), rng.standard_normal(taps)])
    response = np.fft.rfft(row, 1 << 14)
    margin = float(gain_before_feedback_db(response)[0])
    for gain in (10 ** (gain_db / 20), *(10 ** ((margin + more) / 20) for more in (-0.05, 0.05))):
        poles = np.roots(np.concatenate([[1.0], -gain * row[1:]]))
        if np.abs(np.abs(poles) - 1).min() < 1e-5:
            continue
        outside = poles[np.abs(poles) > 1]
        # Of two that mirror each other one is heard; one on the real axis has no mirror.
        heard = int((outside.imag > 1e-9).sum())
        on_axis = int((np.abs(outside.imag) <= 1e-9).sum())
        assert heard <= ringing_now(gain * response) <= heard + on_axis
        if gain < 10 ** (margin / 20):
            assert len(outside) == 0
        elif gain > 10 ** (margin / 20) and abs(20 * np.log10(gain) - margin) < 0.06:
            assert len(outside) > 0


@pytest.mark.parametrize(("seed", "taps", "late"), [(7112, 5, 3), (5685, 8, 7), (9670, 17, 17)])
def test_the_highest_crossing_counts_where_its_line_lies_on_the_axis(seed, taps, late) -> None:
    """Below their margin these are stable: all poles inside (MATH). Once the last digit of a
    crossing lost it, and the next one was taken for the first."""
    rng = np.random.default_rng(seed)
    row = np.concatenate([np.zeros(late), rng.standard_normal(taps)])
    margin = float(gain_before_feedback_db(np.fft.rfft(row, 1 << 14))[0])
    gain = 10 ** ((margin - 0.05) / 20)
    assert np.abs(np.roots(np.concatenate([[1.0], -gain * row[1:]]))).max() < 1


def test_a_loop_that_is_nothing_but_a_delay() -> None:
    """0.5 z^-160 is in step at every multiple of fs/160 = 100 Hz, 6.02 dB below 1 (MATH)."""
    row = np.zeros(200)
    row[160] = 0.5
    hz, response = np.fft.rfftfreq(1 << 13, 1 / FS), np.fft.rfft(row, 1 << 13)
    assert gain_before_feedback_db(response)[0] == pytest.approx(6.0206, abs=1e-4)
    found = sorted(ring.frequency_hz for ring in rings_of(hz, response, most=100))
    assert found == pytest.approx([100.0 * k for k in range(81)], abs=1e-6)
    assert ringing_now(1.9 * response) == 0
    assert ringing_now(2.1 * response) == 81


def test_lines_as_coarse_as_a_sixth_of_a_turn_still_give_a_delays_margin() -> None:
    row = np.zeros(200)
    row[170] = 0.5
    response = np.fft.rfft(row, 1024)
    assert gain_before_feedback_db(response)[0] == pytest.approx(6.0206, abs=1e-4)


def test_a_loop_on_the_axis_itself_has_the_margin_of_its_highest_line() -> None:
    assert gain_before_feedback_db([0.25, 0.5, 0.25])[0] == pytest.approx(6.0206, abs=1e-4)


def test_where_the_phase_rises_no_ring_begins() -> None:
    """A curve that passes the axis downwards at 0.8, and upwards at 0.5 on its way back."""
    curve = np.array([0.8 + 0.1j, 0.8 - 0.1j, 0.5 - 0.1j, 0.5 + 0.1j, -0.1 + 0.1j])
    assert [r.frequency_hz for r in rings_of(np.arange(5.0), curve)] == pytest.approx([0.5])
    assert ringing_now(1.5 * curve) == 1
    assert ringing_now(3 * curve) == 0


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 5), st.integers(2, 60))
def test_the_margin_is_that_of_the_strongest_of_all_crossings(seed, loops, lines) -> None:
    rng = np.random.default_rng(seed)
    curves = rng.standard_normal((loops, lines)) + 1j * rng.standard_normal((loops, lines))
    found = crossings_of(curves)
    for number, margin in enumerate(gain_before_feedback_db(curves)):
        highest = found.size[found.row == number].max(initial=1e-10)
        assert margin == pytest.approx(-20 * np.log10(highest))
