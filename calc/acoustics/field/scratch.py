"""Arrays that each thread keeps for its arithmetic, and writes over with every block.

Megabytes asked for anew come as fresh pages, which the system clears one by one: that took a
third of a small rig's time, and made threads wait for each other.
"""

import math
import threading
from typing import Any

import numpy as np
from numpy.typing import DTypeLike, NDArray


class Scratch(threading.local):
    """Named arrays of this thread; what was in one is lost when its name is asked for again."""

    def __init__(self) -> None:
        self._held: dict[str, NDArray[np.uint8]] = {}

    def array(self, name: str, shape: tuple[int, ...], dtype: DTypeLike) -> NDArray[Any]:
        """An array with anything in it."""
        size = math.prod(shape) * np.dtype(dtype).itemsize
        held = self._held.get(name)
        if held is None or held.size < size:
            held = self._held[name] = np.empty(size, dtype=np.uint8)
        return held[:size].view(dtype).reshape(shape)


SCRATCH = Scratch()
