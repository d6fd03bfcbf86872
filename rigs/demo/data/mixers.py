"""Mixers, invented. Nobody knows how noisy the small one is."""

from rigs.demo.shapes import MixerSheet

MAKER = "Quillmoss"

DESK = "Foolscap 16-8"
LARGE_DESK = "Foolscap 32-12"
SMALL_DESK = "Jotter 8-2"

MIXERS = (
    MixerSheet(DESK, 8, 22, -84, 14.5),
    MixerSheet(LARGE_DESK, 12, 24, -88, 27.0, "Two people."),
    MixerSheet(SMALL_DESK, 2, 18, None, 3.9),
)
