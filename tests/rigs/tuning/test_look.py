"""The first look at samples: levels, clipping, silence, in any number of blocks."""

import io

import numpy as np
import pytest

from rigs.tuning import wav as wav_module
from rigs.tuning.look import look_at, remarks
from rigs.tuning.wav import NotSound, read_header
from tests.rigs.tuning.sounds import float_wav, sine, wav


def look(content: bytes):
    file = io.BytesIO(content)
    return look_at(file, read_header(file))


@pytest.mark.parametrize("bits", [16, 24, 32])
@pytest.mark.parametrize("rate_hz", [44_100, 96_000, 192_000])
def test_a_sine_has_its_level_in_every_format(bits, rate_hz):
    seen = look(wav(sine(-12.0, rate_hz=rate_hz), rate_hz, bits))
    assert seen.peak_db[0] == pytest.approx(-12.0, abs=0.02)
    # The rms of a sine lies 3.01 dB below its peak (MATH: 10 lg 2).
    assert seen.rms_db[0] == pytest.approx(-15.01, abs=0.02)
    assert seen.clipped == (0,)
    assert remarks(seen) == []


def test_float_and_two_channels_are_told_apart():
    two = np.stack([sine(-6.0), sine(-26.0)], axis=1)
    seen = look(float_wav(two))
    assert seen.peak_db == pytest.approx((-6.0, -26.0), abs=0.02)


def test_float_above_full_scale_is_seen_as_such():
    assert look(float_wav(sine(6.0))).peak_db[0] == pytest.approx(6.0, abs=0.02)


def test_each_clipped_place_counts_once():
    tone = np.clip(sine(3.0, hz=100.0, seconds=0.1), -1, 1)  # ten periods, two tops each
    seen = look(wav(tone))
    assert seen.clipped == (20,)
    assert "clips in 20 places" in remarks(seen)[0]


def test_two_samples_at_full_scale_are_no_clipping():
    quiet = np.zeros(1000)
    quiet[500:502] = 1.0
    assert look(wav(quiet)).clipped == (0,)


@pytest.mark.parametrize("size", [1, 2, 3, 7, 64])
def test_blocks_of_any_size_give_the_same_look(size, monkeypatch):
    tone = np.clip(np.stack([sine(3.0, hz=440.0), sine(-3.0)], axis=1), -1, 1)[:500]
    whole = look(wav(tone))
    real = wav_module.blocks
    monkeypatch.setattr("rigs.tuning.look.blocks", lambda file, wav: real(file, wav, size))
    pieces = look(wav(tone))
    assert pieces.clipped == whole.clipped
    assert pieces.rms_db == pytest.approx(whole.rms_db)


def test_silence_is_refused():
    with pytest.raises(NotSound, match="only silence"):
        look(wav(np.zeros(1000)))


def test_one_silent_channel_is_named():
    seen = look(wav(np.stack([sine(), 0 * sine()], axis=1)))
    assert remarks(seen) == ["Channel 2 is silent. Check the input, then record again."]


def test_quiet_is_said_except_of_background_noise():
    seen = look(wav(sine(-52.0), bits=24))
    assert "52 dB below full scale" in remarks(seen)[0]
    assert remarks(seen, may_be_quiet=True) == []


def test_samples_far_beyond_full_scale_are_no_sound():
    with pytest.raises(NotSound, match="beyond full scale"):
        look(float_wav(sine(120.0)))


def test_a_file_that_was_cut_is_kept_and_said():
    seen = look(wav(sine())[:-1000])
    assert "ends before the length" in remarks(seen)[0]
