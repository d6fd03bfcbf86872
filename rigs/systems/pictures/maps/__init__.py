"""Maps of levels seen from above: filled contours with labelled lines, for pages and paper."""

from rigs.systems.pictures.maps.coverage import Picture, Scale, coverage_maps, value_maps
from rigs.systems.pictures.maps.ink import size_of, themed
from rigs.systems.pictures.maps.layers import AreaValues
from rigs.systems.pictures.maps.marks import Marks
from rigs.systems.pictures.maps.side import Side, side_picture

__all__ = [
    "AreaValues",
    "Marks",
    "Picture",
    "Scale",
    "Side",
    "coverage_maps",
    "side_picture",
    "size_of",
    "themed",
    "value_maps",
]
