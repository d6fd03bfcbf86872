"""Pages of the processing of a rig: outputs, revisions, alignments, sub arrays."""

from rigs.systems.views.dialling.output import output, output_tried
from rigs.systems.views.dialling.overview import processing
from rigs.systems.views.dialling.revisions import revision, revision_back, revisions

__all__ = [
    "output",
    "output_tried",
    "processing",
    "revision",
    "revision_back",
    "revisions",
]
