"""A few thousand broken files; `python -m tests.fuzz_sound` throws a hundred thousand."""

from hypothesis import given, settings
from hypothesis import strategies as st

from tests import fuzz_sound
from tests.fuzz_sound import Tally


def test_broken_files_get_a_sentence_each():
    wavs, texts = fuzz_sound.throw(cases=4000, seed=7)
    assert wavs.read + wavs.refused == texts.read + texts.refused == 2000
    # Neither all good nor all refused at the first look: the readers were really entered.
    assert wavs.read > 50
    assert texts.read > 50
    assert len(wavs.sentences) >= 10
    assert len(texts.sentences) >= 5


@given(st.binary(max_size=300))
@settings(max_examples=200, deadline=None)
def test_any_bytes_at_all(content):
    tally = Tally()
    fuzz_sound._try(fuzz_sound._read_wav, b"RIFF\0\0\0\0WAVE" + content, fuzz_sound.NotSound, tally)
    fuzz_sound._try(fuzz_sound._read_text, content, fuzz_sound.ValidationError, tally)
    assert tally.read + tally.refused == 2


@given(st.text(max_size=300))
@settings(max_examples=200, deadline=None)
def test_any_text_at_all(text):
    tally = Tally()
    content = text.encode("utf-8", "surrogatepass")
    fuzz_sound._try(fuzz_sound._read_text, content, fuzz_sound.ValidationError, tally)
    assert tally.read + tally.refused == 1
