"""Drawings of a packet: SVG for the page and for paper."""

from rigs.packets.pictures.coverage import Picture, coverage_maps
from rigs.packets.pictures.svg import size_of, themed

__all__ = ["Picture", "coverage_maps", "size_of", "themed"]
