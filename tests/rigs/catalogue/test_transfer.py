"""SOFA files: a balloon, or a sentence; never another exception.

The good file is written by sofar, the reference implementation of AES69 in Python (RUN).
"""

import numpy as np
import pytest
import sofar
from django.core.exceptions import ValidationError
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.acoustics.directivity.index import table_index_db
from calc.acoustics.directivity.table import table_of
from rigs.catalogue.directivity import directivity_fault
from rigs.catalogue.transfer import MOST_BYTES, read_arrays, read_transfer
from rigs.systems.describe import radiation

BANDS = np.array([500.0, 1000.0, 2000.0, 4000.0])


def heart(positions):
    """A cardioid: half of one plus the cosine of the angle from the axis."""
    azimuth, elevation = np.radians(positions[:, 0]), np.radians(positions[:, 1])
    return (1 + np.cos(elevation) * np.cos(azimuth)) / 2


def sofa_file(path, convention="FreeFieldDirectivityTF", lowest=-90, change=None):
    azimuth, elevation = np.meshgrid(np.arange(0, 360, 10.0), np.arange(lowest, 91, 10.0))
    place = np.column_stack([azimuth.ravel(), elevation.ravel(), np.full(azimuth.size, 2.0)])
    sofa = sofar.Sofa(convention)
    if convention == "FreeFieldDirectivityTF":
        for words in ("Description", "EmitterDescriptions", "MIDINote", "SourceTuningFrequency"):
            sofa.delete(words)
        sofa.ReceiverPosition, sofa.ReceiverPosition_Type = place, "spherical"
        sofa.ReceiverPosition_Units = "degree, degree, metre"
        sofa.N = BANDS
        sofa.Data_Real = (heart(place)[:, None] + 0 * BANDS)[None]
        sofa.Data_Imag = np.zeros_like(sofa.Data_Real)
        if change:
            change(sofa)
    sofar.write_sofa(str(path), sofa)
    return path.read_bytes()


@pytest.fixture(scope="module")
def good(tmp_path_factory):
    return sofa_file(tmp_path_factory.mktemp("sofa") / "heart.sofa")


def sentence(content):
    with pytest.raises(ValidationError) as refused:
        read_transfer(content)
    return " ".join(refused.value.messages)


def test_a_measured_file_becomes_a_balloon_with_the_index_of_its_shape(good):
    balloon = read_transfer(good, "heart.sofa")
    assert directivity_fault(balloon.to_plain()) == ""
    assert balloon.file_name == "heart.sofa"
    made = radiation.system.Balloon(
        balloon.band_hz, balloon.polar_deg, balloon.azimuth_deg, balloon.level_db
    )
    # The mean of ((1 + cos) / 2)^2 over the sphere is 1/3: 10 lg 3 = 4.77 dB (MATH).
    assert table_index_db(table_of(made)) == pytest.approx(4.77, abs=0.1)


def test_files_that_are_something_else_are_sentences(good, tmp_path):
    assert "no netCDF-4 file" in sentence(b"plane, angle, 500")
    assert sentence(b"").endswith(".")
    assert "GeneralTF" in sentence(sofa_file(tmp_path / "g.sofa", "GeneralTF"))
    assert sentence(good[: len(good) // 2]).endswith(".")
    assert "too large" in sentence(b"\0" * (MOST_BYTES + 1))


def test_missing_angles_and_numbers_are_sentences(tmp_path):
    def spoil(sofa):
        sofa.Data_Real[0, 5, 2] = np.nan

    assert "Data.Real has values that are missing" in sentence(
        sofa_file(tmp_path / "nan.sofa", change=spoil)
    )
    assert "Angles are missing" in sentence(sofa_file(tmp_path / "cap.sofa", lowest=40))


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.binary(max_size=300)
    | st.tuples(st.floats(0, 1), st.binary(min_size=1, max_size=40), st.booleans())
)
def test_any_file_is_arrays_or_a_sentence(good, spoiled):
    content = spoiled
    if isinstance(spoiled, tuple):
        share, noise, cut = spoiled
        at = int(share * len(good))
        content = good[:at] + noise + (b"" if cut else good[at + len(noise) :])
    try:
        arrays = read_arrays(content)
    except ValidationError as refused:
        assert all(said.endswith(".") for said in refused.messages)
    else:
        assert np.isfinite(arrays["real"]).all()
        try:
            read_transfer(content)
        except ValidationError as refused:
            assert all(said.endswith(".") for said in refused.messages)
