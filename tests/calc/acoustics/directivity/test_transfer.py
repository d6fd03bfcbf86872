"""Arrays of an AES69 file: a written piston comes back, foreign ones are refused."""

import dataclasses

import numpy as np
import pytest

from calc.acoustics.bands import exact_hz
from calc.acoustics.directivity.index import table_index_db
from calc.acoustics.directivity.piston import piston_pressure
from calc.acoustics.directivity.table import balloon_faults, table_of
from calc.acoustics.directivity.transfer import TransferArrays, balloon_of_transfer

HZ = np.array([exact_hz(n) for n in range(-6, 7)])
RADIUS, SPEED = 0.1, 343.0


def angles(azimuths=None, elevations=None) -> np.ndarray:
    """Off the axis in degrees, one for each receiver."""
    turn = np.arange(-180, 180, 5) if azimuths is None else azimuths
    lift = np.arange(-90, 91, 5) if elevations is None else elevations
    a, e = (np.radians(g.ravel()) for g in np.meshgrid(turn, lift, indexing="ij"))
    return np.round(np.degrees(np.arccos(np.clip(np.cos(a) * np.cos(e), -1, 1))), 9)


def piston(azimuths=None, elevations=None, **changes) -> TransferArrays:
    """A piston of 0.2 m, every 5 degrees, with 1 m of delay and 94 dB of level."""
    turn = np.arange(-180, 180, 5) if azimuths is None else azimuths
    lift = np.arange(-90, 91, 5) if elevations is None else elevations
    a, e = (g.ravel() for g in np.meshgrid(turn, lift, indexing="ij"))
    off = angles(turn, lift)
    pressure = (
        np.stack(
            [piston_pressure(np.array([2 * np.pi * f * RADIUS / SPEED]), off)[0] for f in HZ],
            axis=-1,
        )
        * np.exp(-2j * np.pi * HZ / SPEED)
        * 10 ** (94 / 20)
    )
    plain = TransferArrays(
        convention="FreeFieldDirectivityTF",
        frequency=HZ,
        frequency_units="hertz",
        real=pressure.real[None],
        imag=pressure.imag[None],
        receiver_position=np.column_stack([a, e, np.ones(len(a))]),
        receiver_position_type="spherical",
        receiver_position_units="degree, degree, metre",
    )
    return dataclasses.replace(plain, **changes)


def test_a_written_piston_comes_back() -> None:
    balloon, axis = balloon_of_transfer(piston())
    assert not list(balloon_faults(balloon))
    assert balloon.band_hz == pytest.approx(HZ)
    assert axis.level_db == pytest.approx([94] * len(HZ), abs=1e-6)
    table = table_of(balloon)
    for band, hz in ((10, HZ[0]), (16, 1000.0), (22, HZ[-1])):
        wanted = piston_pressure(np.array([2 * np.pi * hz * RADIUS / SPEED]), np.array([30.0, 60]))
        assert table[band, [0, 18, 36, 54]][:, [6, 12]].real == pytest.approx(
            np.repeat(wanted, 4, axis=0), abs=0.02
        )


def test_index_of_the_written_piston() -> None:
    """ka of 2, 3 and 5: 5.880, 9.159, 14.017 dB (RUN). A grid of 5 degrees whose equator takes
    the baffle's plane for its front allows 0.3 dB."""
    ka, index = np.array([2.0, 3.0, 5.0]), [5.880, 9.159, 14.017]
    bands = [exact_hz(bands_number) for bands_number in (0, 2, 4)]
    pressure = np.stack([piston_pressure(np.array([k]), angles())[0] for k in ka], axis=-1)
    arrays = piston(frequency=np.array(bands), real=pressure[None], imag=0 * pressure[None])
    found = table_index_db(table_of(balloon_of_transfer(arrays)[0]))[[16, 18, 20]]
    assert found == pytest.approx(index, abs=0.3)


@pytest.mark.parametrize(
    ("azimuths", "elevations"),
    [
        (np.arange(-180, 1, 5), None),
        (None, np.arange(0, 91, 5)),
        (np.arange(0, 181, 5), np.arange(0, 91, 5)),
        (np.arange(-180, 180, 10), np.arange(-90, 91, 10)),
    ],
    ids=["right half", "upper half", "quarter", "every 10 degrees"],
)
def test_halves_are_mirrored(azimuths, elevations) -> None:
    whole = table_of(balloon_of_transfer(piston())[0])
    part = table_of(balloon_of_transfer(piston(azimuths, elevations))[0])
    front = np.abs(whole[10, :, :15])
    assert np.abs(part[10, :, :15]) == pytest.approx(front, abs=0.05)


def test_right_is_right() -> None:
    """The standard's azimuth turns to the left: louder at -90 degrees is louder on the right."""
    arrays = piston()
    louder = 1 + 0.5 * np.sin(np.radians(-arrays.receiver_position[:, 0]))
    flat = (
        np.ones_like(arrays.real)
        * (
            louder * np.abs(np.cos(np.radians(arrays.receiver_position[:, 1])))
            + 1
            - np.abs(np.cos(np.radians(arrays.receiver_position[:, 1])))
        )[None, :, None]
    )
    table = table_of(
        balloon_of_transfer(dataclasses.replace(arrays, real=flat, imag=np.zeros_like(flat)))[0]
    )
    assert abs(table[16, 0, 18]) == pytest.approx(1.5, abs=0.01)
    assert abs(table[16, 36, 18]) == pytest.approx(0.5, abs=0.01)


def test_another_view_turns_the_balloon() -> None:
    arrays = piston()
    turned = dataclasses.replace(
        arrays,
        source_view=[[0.0, 1.0, 0.0]],
        receiver_position=arrays.receiver_position + np.array([90.0, 0, 0]),
    )
    assert table_of(balloon_of_transfer(turned)[0]) == pytest.approx(
        table_of(balloon_of_transfer(arrays)[0]), abs=1e-3
    )


def spoilt(value: float) -> np.ndarray:
    real = piston().real.copy()
    real[0, 5, 3] = value
    return real


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"convention": "SimpleFreeFieldHRIR"}, "follows the convention 'SimpleFreeFieldHRIR'"),
        ({"frequency_units": "kHz"}, "not in hertz"),
        ({"real": spoilt(np.nan)}, "some of the real parts are missing or no numbers"),
        ({"real": np.ones((1, 4, 2))}, "measurements x receivers x frequencies"),
        ({"real": np.ones((2, 9, 13)), "imag": np.ones((2, 9, 13))}, "holds 2 measurements"),
        ({"frequency": HZ[::-1]}, "frequencies must rise"),
        ({"frequency": HZ * 1e-3}, "reach none of the bands"),
        ({"receiver_position": np.ones((4, 3))}, "receivers need 2664 positions"),
        ({"receiver_position_units": "radian, radian, metre"}, "degree, degree, metre"),
        ({"receiver_position_type": "cylindrical"}, "the positions are 'cylindrical'"),
        ({"source_up": (1.0, 0, 0)}, "two different directions"),
        ({"imag": "loud"}, "imaginary parts are no numbers"),
    ],
)
def test_foreign_or_broken_files_are_refused(changes, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        balloon_of_transfer(piston(**changes))


def test_missing_angles_are_told() -> None:
    with pytest.raises(ValueError, match=r"angles are missing: 1\d* degrees off the axis"):
        balloon_of_transfer(piston(np.arange(-90, 91, 5)))
