"""Pages of a rig: HTTP in, HTTP out, nothing else."""

from rigs.systems.views.lines import line, line_new
from rigs.systems.views.parts import part, remove, several
from rigs.systems.views.rig import rig

__all__ = ["line", "line_new", "part", "remove", "rig", "several"]
