"""Reading WAV files from people: hostile until parsed, never whole in memory.

RIFF/WAVE as everybody writes it: a `fmt ` chunk, then a `data` chunk, others between are passed
over. Integer samples of 16, 24 or 32 bits and float of 32, one or two channels, 44.1 to 192 kHz.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO, Literal

import numpy as np
from numpy.typing import NDArray

MOST_BYTES = 200_000_000
RATES_HZ = (44_100, 192_000)
BLOCK_FRAMES = 65_536
MOST_CHUNKS = 100

PCM, FLOAT, EXTENSIBLE = 1, 3, 0xFFFE
# The tail of every sub-format of the extensible header; the tag stands before it.
SUB_FORMAT_TAIL = bytes.fromhex("000000001000800000aa00389b71")
UNTIL_THE_END = (0, 0xFFFFFFFF)
"""Sizes that recorders write when they did not live to fill in the true one."""


class NotSound(ValueError):
    """The file cannot be read; the text is for people."""


@dataclass(frozen=True, slots=True)
class Wav:
    """What a file says of itself. `data_at` is where its samples begin, in bytes.

    `cut_short`: the file ends before the length that it states.
    """

    rate_hz: int
    channels: int
    bits: int
    kind: Literal["integer", "float"]
    frames: int
    data_at: int
    cut_short: bool = False

    @property
    def seconds(self) -> float:
        """How long it is."""
        return self.frames / self.rate_hz

    @property
    def frame_bytes(self) -> int:
        """One sample of every channel."""
        return self.channels * self.bits // 8


def read_header(file: BinaryIO) -> Wav:
    """Read everything but the samples.

    Raises
    ------
    NotSound
        With what is wrong with the file and what to do.
    """
    size = file.seek(0, 2)
    if size > MOST_BYTES:
        raise NotSound(f"The file has {size / 1e6:.0f} MB; {MOST_BYTES / 1e6:.0f} MB is the most.")
    file.seek(0)
    start = file.read(12)
    if start[:4] == b"RF64":
        raise NotSound("This is an RF64 file, made for more than 4 GB. Save it as plain WAV.")
    if len(start) < 12 or start[:4] != b"RIFF" or start[8:] != b"WAVE":
        raise NotSound("This is no WAV file. Record or export it as WAV, integer or float.")
    layout: tuple[int, int, int, Literal["integer", "float"]] | None = None
    for name, length, at in _chunks(file, size):
        if name == b"fmt ":
            layout = _layout(file.read(min(length, 40)))
        if name == b"data":
            if layout is None:
                raise NotSound("Its samples come before their description: it can't be read.")
            return _with_samples(layout, length, at, size)
    raise NotSound("There are no samples in this file.")


def _chunks(file: BinaryIO, size: int) -> Iterator[tuple[bytes, int, int]]:
    """Name, stated length and place of each chunk's content; the file stands there."""
    at = 12
    for _ in range(MOST_CHUNKS):
        file.seek(at)
        head = file.read(8)
        if len(head) < 8:
            return
        name, length = head[:4], int(struct.unpack("<I", head[4:])[0])
        yield name, length, at + 8
        at += 8 + length + length % 2
        if at >= size:
            return


def _layout(fmt: bytes) -> tuple[int, int, int, Literal["integer", "float"]]:
    if len(fmt) < 16:
        raise NotSound("Its description of the samples is cut short: it can't be read.")
    tag, channels, rate, _, frame_bytes, bits = struct.unpack("<HHIIHH", fmt[:16])
    if tag == EXTENSIBLE:
        if len(fmt) < 40 or fmt[26:40] != SUB_FORMAT_TAIL:
            raise NotSound("Its samples are of a kind that only its maker knows. Export as PCM.")
        tag = struct.unpack("<H", fmt[24:26])[0]
    if tag not in (PCM, FLOAT):
        raise NotSound("Its samples are compressed. Export it as WAV, integer or float (PCM).")
    if channels not in (1, 2):
        raise NotSound(f"It has {channels} channels. One or two can be used: export those.")
    if not RATES_HZ[0] <= rate <= RATES_HZ[1]:
        raise NotSound(f"Its sampling rate is {rate} Hz. It must be 44,100 to 192,000 Hz.")
    if bits not in ((32,) if tag == FLOAT else (16, 24, 32)):
        raise NotSound(
            f"It has {bits} bits a sample. Use 16, 24 or 32 bit integer or 32 bit float."
        )
    if frame_bytes != channels * bits // 8:
        raise NotSound("Its description of the samples contradicts itself: it can't be read.")
    return rate, channels, bits, "float" if tag == FLOAT else "integer"


def _with_samples(
    layout: tuple[int, int, int, Literal["integer", "float"]], stated: int, at: int, size: int
) -> Wav:
    rate, channels, bits, kind = layout
    there = size - at
    stated = there if stated in UNTIL_THE_END else stated
    length = min(stated, there)
    frames = length // (channels * bits // 8)
    if frames < 1:
        raise NotSound("There are no samples in this file.")
    return Wav(rate, channels, bits, kind, frames, at, cut_short=stated > there)


def blocks(file: BinaryIO, wav: Wav, frames: int = BLOCK_FRAMES) -> Iterator[NDArray[np.float32]]:
    """The samples in turn, (up to `frames`, channels), full scale at +-1.

    Raises
    ------
    NotSound
        A float sample is no number.
    """
    file.seek(wav.data_at)
    left = wav.frames
    while left:
        wanted = min(frames, left)
        raw = file.read(wanted * wav.frame_bytes)
        got = len(raw) // wav.frame_bytes
        if not got:
            raise NotSound("The file became shorter while it was read.")
        left -= got
        yield _samples(raw[: got * wav.frame_bytes], wav).reshape(got, wav.channels)


def _samples(raw: bytes, wav: Wav) -> NDArray[np.float32]:
    if wav.kind == "float":
        floats = np.frombuffer(raw, "<f4")
        if not np.isfinite(floats).all():
            raise NotSound("Some of its samples are no numbers. Record or export it anew.")
        return floats.astype(np.float32)
    if wav.bits == 24:
        # Three bytes into the upper three of four, so that the sign comes along.
        wide = np.zeros((len(raw) // 3, 4), np.uint8)
        wide[:, 1:] = np.frombuffer(raw, np.uint8).reshape(-1, 3)
        whole = wide.view("<i4").ravel()
    else:
        whole = np.frombuffer(raw, "<i2" if wav.bits == 16 else "<i4")
    full = 2.0 ** (15 if wav.bits == 16 else 31)
    scaled: NDArray[np.float32] = (whole / full).astype(np.float32)
    return scaled
