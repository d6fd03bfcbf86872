"""Pages of a rig: HTTP in, HTTP out, nothing else."""

from rigs.systems.views.aim import aim, aim_accept, aim_proposal
from rigs.systems.views.coverage import coverage, coverage_keep
from rigs.systems.views.decisions import (
    limiter_set,
    override_confirm,
    override_new,
    override_withdraw,
)
from rigs.systems.views.dialling import (
    alignment_page,
    alignment_take,
    alignments,
    output,
    output_tried,
    processing,
    revision,
    revision_back,
    revisions,
    sub_array,
    sub_array_take,
)
from rigs.systems.views.lines import line, line_new
from rigs.systems.views.mains import mains, plan_take, weights
from rigs.systems.views.parts import choices, part, remove, several
from rigs.systems.views.rig import rig
from rigs.systems.views.what_if import what_if_keep

__all__ = [
    "aim",
    "aim_accept",
    "aim_proposal",
    "alignment_page",
    "alignment_take",
    "alignments",
    "choices",
    "coverage",
    "coverage_keep",
    "limiter_set",
    "line",
    "line_new",
    "mains",
    "output",
    "output_tried",
    "override_confirm",
    "override_new",
    "override_withdraw",
    "part",
    "plan_take",
    "processing",
    "remove",
    "revision",
    "revision_back",
    "revisions",
    "rig",
    "several",
    "sub_array",
    "sub_array_take",
    "weights",
    "what_if_keep",
]
