"""Pictures from calc's input and output: pure functions to SVG text, no web, no database."""

from rigs.systems.pictures.gains import gain_ladder_picture
from rigs.systems.pictures.plan import plan_picture
from rigs.systems.pictures.spectrum import spectrum_picture
from rigs.systems.pictures.wiring import wiring_picture

__all__ = ["gain_ladder_picture", "plan_picture", "spectrum_picture", "wiring_picture"]
