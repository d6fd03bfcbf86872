"""The reader of WAV files: what it takes, and the sentence for what it doesn't."""

import io
import struct

import numpy as np
import pytest

from rigs.tuning.wav import NotSound, blocks, read_header
from tests.rigs.tuning.sounds import float_wav, sine, wav


def header(content: bytes):
    return read_header(io.BytesIO(content))


def samples(content: bytes):
    file = io.BytesIO(content)
    return np.concatenate(list(blocks(file, read_header(file), 100)))


@pytest.mark.parametrize(("bits", "step"), [(16, 2**-15), (24, 2**-23), (32, 2**-24)])
def test_integer_samples_come_as_they_were(bits, step):
    tone = np.stack([sine(), -sine(-20.0)], axis=1)
    read = samples(wav(tone, bits=bits))
    assert read.shape == tone.shape
    assert np.abs(read - tone).max() <= 1.01 * step


def test_float_samples_come_bit_by_bit():
    tone = sine().astype(np.float32)
    assert (samples(float_wav(tone))[:, 0] == tone).all()


def test_the_most_negative_integer_is_full_scale():
    raw = wav(np.zeros(2))[:-4] + struct.pack("<hh", -32768, 32767)
    assert samples(raw)[:, 0] == pytest.approx([-1.0, 32767 / 32768])


def test_other_chunks_and_the_extensible_layout_are_passed_over():
    plain = wav(sine(), bits=24)
    layout = struct.pack("<HHIIHH", 0xFFFE, 1, 48_000, 144_000, 3, 24)
    more = struct.pack("<HHI", 22, 24, 4) + bytes.fromhex("0100000000001000800000aa00389b71")
    chunks = struct.pack("<4sI", b"LIST", 3) + b"abc\0" + struct.pack("<4sI", b"fmt ", 40)
    extended = plain[:12] + chunks + layout + more + plain[36:]
    assert (samples(extended) == samples(plain)).all()


def test_a_length_that_nobody_filled_in_means_until_the_end():
    plain = bytearray(wav(sine()))
    plain[40:44] = b"\xff\xff\xff\xff"
    assert header(bytes(plain)).frames == len(sine())
    assert not header(bytes(plain)).cut_short


def changed(at: int, form: str, value: int) -> bytes:
    content = bytearray(wav(sine()))
    struct.pack_into(form, content, at, value)
    return bytes(content)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "no WAV file"),
        (b"ID3 something else altogether", "no WAV file"),
        (b"RF64" + bytes(60), "RF64"),
        (wav(sine())[:30], "cut short"),
        (wav(sine())[:44], "no samples"),
        (wav(sine())[:36], "no samples"),
        (changed(20, "<H", 2), "compressed"),
        (changed(22, "<H", 6), "6 channels"),
        (changed(22, "<H", 0), "0 channels"),
        (changed(24, "<I", 8000), "8000 Hz"),
        (changed(34, "<H", 8), "8 bits"),
        (changed(32, "<H", 8), "contradicts itself"),
    ],
)
def test_what_is_wrong_is_said(content, sentence):
    with pytest.raises(NotSound, match=sentence):
        header(content)


def test_float_samples_that_are_no_numbers_are_refused():
    tone = sine()
    tone[7] = np.nan
    with pytest.raises(NotSound, match="no numbers"):
        samples(float_wav(tone))
