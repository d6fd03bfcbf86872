"""Loudspeaker processors, invented."""

from rigs.demo.shapes import ProcessorSheet

MAKER = "Lichenby"

PROCESSORS = (
    ProcessorSheet("Almanac 2-6", 2, 6, 20, 0.5, 25, 3.4, noise_dbu=-87),
    ProcessorSheet("Almanac 4-8", 4, 8, 20, 0.1, 32, 3.9, noise_dbu=-90),
    ProcessorSheet("Daybook 2-4", 2, 4, 18, 1, None, 2.8, max_input_dbu=18),
)
