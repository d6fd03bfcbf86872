"""Measured directivity and responses of the catalogue as `calc` reads them."""

from dataclasses import replace
from functools import lru_cache
from typing import Any, cast

import numpy as np
from django.dispatch import receiver

from calc import system
from calc.acoustics.directivity.polars import balloon_of_polars
from calc.acoustics.directivity.transfer import TransferArrays, balloon_of_transfer
from calc.figure import Basis
from rigs.catalogue import directivity
from rigs.catalogue.models import Way
from rigs.catalogue.transfer import transfer_read


def balloon_of(way: Way) -> system.Balloon | None:
    """The way's measured balloon, or the one that its two polars make; None if none is there."""
    measured = way.radiation
    if measured is None:
        return None
    basis = cast(Basis, way.basis_of("directivity"))
    if isinstance(measured, directivity.Balloon):
        return system.Balloon(
            band_hz=measured.band_hz,
            polar_deg=measured.polar_deg,
            azimuth_deg=measured.azimuth_deg,
            level_db=measured.level_db,
            phase_deg=measured.phase_deg,
            basis=basis,
        )
    return replace(_whole(measured), basis=basis)


@lru_cache(maxsize=64)
def _whole(polars: directivity.Polars) -> system.Balloon:
    """Made once for every table: rigs with many boxes are described again and again."""
    across, over = polars.horizontal, polars.vertical
    return balloon_of_polars(
        polars.band_hz, across.angle_deg, across.level_db, over.angle_deg, over.level_db
    )


def axis_of(way: Way) -> system.AxisResponse | None:
    """The way's response on the axis, where somebody entered it."""
    response = way.axis
    if response is None:
        return None
    basis = cast(Basis, way.basis_of("axis_response"))
    return system.AxisResponse(
        response.frequency_hz, response.level_db, response.phase_deg, basis=basis
    )


@receiver(transfer_read)
def make_balloon(arrays: dict[str, Any], name: str, **kwargs: Any) -> directivity.Balloon:
    """A balloon of a measured file's fields, rounded to a hundredth of a dB and to a degree."""
    balloon, _ = balloon_of_transfer(TransferArrays(**arrays))
    return directivity.Balloon(
        band_hz=balloon.band_hz,
        azimuth_deg=balloon.azimuth_deg,
        polar_deg=balloon.polar_deg,
        level_db=_rounded(balloon.level_db, 2),
        phase_deg=_rounded(balloon.phase_deg, 0),
        file_name=name,
    )


def _rounded(table: Any, decimals: int) -> tuple[directivity.Rows, ...]:
    values = np.round(np.array(table), decimals).tolist()
    return tuple(tuple(map(tuple, rows)) for rows in values)
