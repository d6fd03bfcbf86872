"""Pages of the processing of a rig: outputs, revisions, alignments, sub arrays."""

from rigs.systems.views.dialling.alignments import alignment_page, alignment_take, alignments
from rigs.systems.views.dialling.output import output, output_tried
from rigs.systems.views.dialling.overview import processing
from rigs.systems.views.dialling.revisions import revision, revision_back, revisions
from rigs.systems.views.dialling.sub_array import sub_array, sub_array_take

__all__ = [
    "alignment_page",
    "alignment_take",
    "alignments",
    "output",
    "output_tried",
    "processing",
    "revision",
    "revision_back",
    "revisions",
    "sub_array",
    "sub_array_take",
]
