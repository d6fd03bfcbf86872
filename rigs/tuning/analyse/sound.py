"""A stored recording as rows of samples on disk, so that its length costs no memory."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from rigs.tuning.wav import blocks, read_header


@contextmanager
def rows_of(file: BinaryIO) -> Iterator[NDArray[np.float32]]:
    """The samples (channels, n), full scale at 1, for as long as the block runs.

    Raises
    ------
    NotSound
        With what is wrong with the file.
    """
    wav = read_header(file)
    with tempfile.TemporaryFile(prefix="rigwright-") as space:
        rows = np.memmap(space, np.float32, "w+", shape=(wav.channels, wav.frames))
        at = 0
        for block in blocks(file, wav):
            rows[:, at : at + len(block)] = block.T
            at += len(block)
        yield rows
