"""Many drive lines at once, column by column: the same figures as `check_lines`, much faster.

For a whole inventory. It covers lines with boxes in parallel and by their rated and minimum
impedances. Not covered, and said so by `covered`: boxes in series, impedance curves, limiters by
programme power. Left out altogether: sentences, currents, heat, the gain ladder.

Unknown is NaN in these columns, and only here: a state made from it is "cannot check".
"""

from calc.electrical.bulk.columns import LineColumns, columns_of
from calc.electrical.bulk.figures import BulkFigures, bulk_figures
from calc.electrical.bulk.states import BulkStates, bulk_states
from calc.electrical.bulk.tables import AmplifierTable, CableTable, WayTable

__all__ = [
    "AmplifierTable",
    "BulkFigures",
    "BulkStates",
    "CableTable",
    "LineColumns",
    "WayTable",
    "bulk_figures",
    "bulk_states",
    "columns_of",
]
