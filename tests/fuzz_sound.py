"""Throw broken WAV and calibration files at their readers.

    python -m tests.fuzz_sound --cases 100000

Every input must be read or refused with a sentence; anything else ends this with a traceback and
the input beside it. Says how many were read and refused, the sentences that were said, and the
most memory that was used. The suite runs a few thousand cases of it.
"""

import argparse
import io
import re
import resource
import struct
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from random import Random

import numpy as np
from django.core.exceptions import ValidationError

from rigs.catalogue.typed_lines import decode
from rigs.tuning.calibrating import read_calibration, write_calibration
from rigs.tuning.look import look_at
from rigs.tuning.wav import MOST_BYTES, NotSound, read_header
from tests.rigs.tuning.sounds import float_wav, wav

MOST_MB = 200
EDGES = (0, 1, 2, 3, 16, 24, 32, 0x7FFF, 0x8000, 0xFFFE, 0xFFFF)
LONG_EDGES = (*EDGES, 44_100, 48_000, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFE, 0xFFFFFFFF)
NAMES = (b"RIFF", b"WAVE", b"fmt ", b"data", b"LIST", b"RF64", b"fact", b"\0\0\0\0")
WORDS = (
    "nan", "inf", "-inf", "1e999", "-0", "0x10", "1_0", "٣", "½", "∞", ",", ";", "\t", "#", '"',
    "\0", "\ufeff", "\ud7ff", "\u2028", "\x1c", "Hz", "1e-400", "9" * 400, "20,", "\r", "\n",
)  # fmt: skip


@dataclass
class Tally:
    """What came of the inputs."""

    read: int = 0
    refused: int = 0
    sentences: Counter = field(default_factory=Counter)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--cases", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    began = time.monotonic()
    wavs, texts = throw(asked.cases, asked.seed)
    seconds = time.monotonic() - began
    print(f"a WAV file of {MOST_BYTES // 1_000_000} MB: {large()}")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    for name, tally in (("WAV", wavs), ("calibration", texts)):
        print(f"{name}: {tally.read} read, {tally.refused} refused with a sentence of these kinds:")
        for sentence, count in tally.sentences.most_common():
            print(f"  {count:7d}  {sentence}")
    print(f"{asked.cases} inputs in {seconds:.0f} s; {peak:.0f} MB of memory at most")
    if peak > MOST_MB:
        sys.exit(f"More than {MOST_MB} MB of memory.")


def large() -> str:
    """What is said of the largest file that is taken; it is all silence, so that all is read."""
    head = bytearray(wav(np.zeros((1, 2)), 192_000, 32)[:44])
    struct.pack_into("<I", head, 40, MOST_BYTES - len(head))
    with tempfile.TemporaryFile() as file:
        file.write(head)
        file.truncate(MOST_BYTES)
        try:
            look_at(file, read_header(file))
        except NotSound as fault:
            return str(fault)
    raise AssertionError("Silence was taken for sound.")


def throw(cases: int, seed: int) -> tuple[Tally, Tally]:
    """Half of the cases at each reader. Raises what no reader may raise."""
    dice = Random(seed)
    wavs, texts = Tally(), Tally()
    for content in broken(_sounds(), _bend_wav, cases - cases // 2, dice):
        _try(_read_wav, content, NotSound, wavs)
    for content in broken(_tables(), _bend_text, cases // 2, dice):
        _try(_read_text, content, ValidationError, texts)
    return wavs, texts


def broken(
    good: list[bytes], bend: Callable[[bytearray, Random], None], cases: int, dice: Random
) -> Iterator[bytes]:
    """Good inputs first, then ones that were bent up to four times; some are noise alone."""
    yield from good[:cases]
    for number in range(max(0, cases - len(good))):
        content = bytearray(dice.choice(good))
        if number % 50 == 0:
            content = bytearray(dice.randbytes(dice.randrange(200)))
        for _ in range(dice.randint(1, 4)):
            bend(content, dice)
        yield bytes(content)


def _try(read: Callable[[bytes], None], content: bytes, refusal: type, tally: Tally) -> None:
    try:
        read(content)
    except refusal as fault:
        said = fault.messages if isinstance(fault, ValidationError) else [str(fault)]
        assert said and all(_is_sentence(each) for each in said), (said, content)
        tally.refused += 1
        tally.sentences[
            re.sub(r"“.*?”|[\d,.]*\d|[-\d.e+]*(inf|nan)", "…", said[0], flags=re.S)[:70]
        ] += 1
    except BaseException:
        print(f"This input broke the reader: {content!r}", file=sys.stderr)
        raise
    else:
        tally.read += 1


def _is_sentence(said: str) -> bool:
    """Short, ends as a sentence, and nothing of the machine's own words is in it."""
    machine = ("Traceback", "Error", "exception", "0x", "b'")
    plain = re.sub(r"“.*?”", "", said, flags=re.S)
    return 10 < len(said) < 300 and said.endswith(".") and not any(w in plain for w in machine)


def _read_wav(content: bytes) -> None:
    file = io.BytesIO(content)
    header = read_header(file)
    assert header.frames >= 1
    look = look_at(file, header)
    assert len(look.peak_db) == header.channels


def _read_text(content: bytes) -> None:
    curve = read_calibration(decode(content, "a calibration"))
    assert read_calibration(write_calibration(curve)).keys() == curve.keys()


def _sounds() -> list[bytes]:
    tone = 0.5 * np.sin(np.arange(60) / 3)
    two = np.stack([tone, -tone], axis=1)
    made = [wav(two, rate, bits) for bits in (16, 24, 32) for rate in (44_100, 192_000)]
    return [*made, wav(tone), float_wav(tone), float_wav(two, 96_000), _extensible(wav(tone))]


def _extensible(plain: bytes) -> bytes:
    tail = struct.pack("<HHI", 22, 16, 4) + bytes.fromhex("0100000000001000800000aa00389b71")
    layout = struct.pack("<H", 0xFFFE) + plain[22:36] + tail
    return plain[:12] + struct.pack("<4sI", b"fmt ", len(layout)) + layout + plain[36:]


def _tables() -> list[bytes]:
    points = [f"{20 * 1.3**n:.1f}{{}}{n / 10 - 1:.2f}" for n in range(25)]
    texts = ["\n".join(line.format(mark) for line in points) for mark in (", ", ";", "\t", "   ")]
    texts.append("Freq(Hz);dB\n" + texts[1].replace(".", ","))
    texts.append("# made in May\n" + "\n".join(f"{line.format(',')},12.5" for line in points))
    return [*(text.encode() for text in texts), texts[0].encode("utf-16")]


def _bend_wav(content: bytearray, dice: Random) -> None:
    """One fault, mostly in the header, where it matters."""
    at = dice.randrange(min(len(content), 80) + 1)
    kind = dice.randrange(7)
    if kind == 0 and content:
        content[at % len(content)] = dice.randrange(256)
    elif kind == 1:
        content[at : at + 2] = struct.pack("<H", dice.choice(EDGES))
    elif kind == 2:
        content[at : at + 4] = struct.pack("<I", dice.choice(LONG_EDGES))
    elif kind == 3:
        content[at : at + 4] = dice.choice(NAMES)
    elif kind == 4:
        del content[dice.randrange(len(content) + 1) :]
    elif kind == 5:
        content[at:at] = dice.randbytes(dice.randrange(12))
    else:
        start = dice.randrange(len(content) + 1)
        del content[start : start + dice.randrange(12)]


def _bend_text(content: bytearray, dice: Random) -> None:
    at = dice.randrange(len(content) + 1)
    kind = dice.randrange(6)
    if kind == 0:
        content[at:at] = dice.choice(WORDS).encode("utf-8", "surrogatepass")
    elif kind == 1:
        content[at : at + dice.randrange(6)] = dice.choice(WORDS).encode("utf-8", "surrogatepass")
    elif kind == 2 and content:
        content[at % len(content)] = dice.randrange(256)
    elif kind == 3:
        del content[at : at + dice.randrange(20)]
    elif kind == 4:
        content[at:at] = content[: dice.randrange(200)]
    else:
        content[:0] = dice.choice((b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf", b"\0"))


if __name__ == "__main__":
    main()
