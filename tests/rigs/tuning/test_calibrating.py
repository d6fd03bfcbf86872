"""Calibration files as makers deliver them."""

import pytest
from django.core.exceptions import ValidationError

from rigs.tuning.calibrating import range_words, read_calibration, write_calibration

WANTED = {"frequency_hz": [20.0, 1000.0, 20000.0], "level_db": [-1.5, 0.0, 2.25]}


@pytest.mark.parametrize(
    "text",
    [
        "20, -1.5\n1000, 0\n20000, 2.25",
        "20;-1,5\n1000;0\n20000;2,25",
        "20\t-1.5\n1000\t0\n20000\t2.25\n",
        "20.0   -1.50\n1000.0    0.00\n20000.0    2.25",
        "\ufeffFreq,dB\n# made in May\n20,-1.5\n\n1000,0\n20000,2.25",
        '"20","-1.5","12"\n"1000","0","0"\n"20000","2.25","-40"',
        "2e1,-15e-1\r\n1e3,0\r\n2e4,2.25\r\n",
    ],
)
def test_all_of_these_say_the_same(text):
    assert read_calibration(text) == WANTED


def test_what_is_written_is_read_again():
    assert read_calibration(write_calibration(WANTED)) == WANTED


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "no lines of Hz and dB"),
        ("only words\nand more", "no lines of Hz and dB"),
        ("1000, 0", "2 to 5000 points; this has 1"),
        ("20, 0\n20, 1", "must rise, but 20 Hz stands before it"),
        ("20, 0\n10, 1", "Line 2"),
        ("20, 0\n1000, x", "write Hz and dB"),
        ("20, 0\n1000, nan", "write Hz and dB"),
        ("0, 0\n1000, 1", "not believable"),
        ("20, 0\n1e200, 1", "not believable"),
        ("20, 94\n1000, 94", "no deviation of a microphone"),
        ("1\n2", "write Hz and dB"),
    ],
)
def test_a_bad_one_gets_a_sentence(text, sentence):
    with pytest.raises(ValidationError) as fault:
        read_calibration(text)
    assert sentence in " ".join(fault.value.messages)


def test_its_range_in_words():
    assert range_words(WANTED) == "20 Hz to 20 kHz, 3 points, -1.5 to 2.2 dB"
