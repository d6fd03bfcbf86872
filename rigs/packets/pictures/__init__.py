"""Drawings of a packet: the same as on the rig's pages."""

from rigs.systems.pictures.maps import Picture, coverage_maps, side_picture, size_of, themed

__all__ = ["Picture", "coverage_maps", "side_picture", "size_of", "themed"]
