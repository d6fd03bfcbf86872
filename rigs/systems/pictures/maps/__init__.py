"""Maps of levels seen from above: filled contours with labelled lines, for pages and paper."""

from rigs.systems.pictures.maps.coverage import Picture, coverage_maps
from rigs.systems.pictures.maps.ink import size_of, themed

__all__ = ["Picture", "coverage_maps", "size_of", "themed"]
