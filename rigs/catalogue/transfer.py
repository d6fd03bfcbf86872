"""AES69 (SOFA) files, convention FreeFieldDirectivityTF: read elsewhere, then made a balloon.

The reading happens in a process of its own (docs/decisions/0006), the acoustics in the bridge that
listens to `transfer_read`: the catalogue does neither.
"""

import io
import os
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any, cast

import numpy as np
from django.core.exceptions import ValidationError
from django.dispatch import Signal

from rigs.catalogue.directivity import Balloon

MOST_BYTES = 60_000_000
LONGEST_S = 30.0
CHILD = Path(__file__).with_name("transfer_child.py")

transfer_read = Signal()
"""Sent with `arrays` (the fields of a file); a receiver returns a `Balloon` or raises ValueError
with what is wrong in words."""


def read_transfer(content: bytes, name: str = "") -> Balloon:
    """The balloon of an uploaded file. Raises ValidationError with a sentence."""
    arrays = read_arrays(content)
    try:
        answers = transfer_read.send(sender=Balloon, arrays=arrays, name=name)
    except ValueError as fault:
        words = str(fault)
        raise ValidationError(words[:1].upper() + words[1:].removesuffix(".") + ".") from fault
    if not answers:
        raise ValidationError("Nothing here can make a balloon of such a file.")
    return cast(Balloon, answers[0][1])


def read_arrays(content: bytes) -> dict[str, Any]:
    """The fields of a SOFA file as arrays and words. Raises ValidationError with a sentence."""
    if len(content) > MOST_BYTES:
        raise ValidationError(
            f"This file is too large for a measured balloon: at most {MOST_BYTES // 1_000_000} MB."
        )
    answer = _ask_child(content)
    if answer[:1] == b"F":
        raise ValidationError(answer[1:].decode(errors="replace"))
    try:
        with np.load(io.BytesIO(answer[1:]), allow_pickle=False) as archive:
            found = {key: archive[key] for key in archive.files}
    except (ValueError, OSError, zipfile.BadZipFile) as fault:
        raise ValidationError(UNREADABLE) from fault
    return {key: str(value) if value.dtype.kind == "U" else value for key, value in found.items()}


UNREADABLE = "This file can't be read: it is damaged, or no SOFA file at all."


def _ask_child(content: bytes) -> bytes:
    try:
        done = subprocess.run(
            [sys.executable, "-I", str(CHILD)],
            input=content,
            capture_output=True,
            timeout=LONGEST_S,
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
            check=False,
        )
    except subprocess.TimeoutExpired as fault:
        raise ValidationError("Reading this file takes too long; it may be damaged.") from fault
    if done.returncode != 0 or done.stdout[:1] not in (b"F", b"D"):
        raise ValidationError(UNREADABLE)
    return done.stdout
