"""Which concrete unit serves whom: plain arithmetic on periods, no database.

A request that names no unit may take any. When no unit is free through a period, other
requests that named none may move to other units; those that are fixed stay where they are.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Sequence, Set
from dataclasses import dataclass
from datetime import timedelta

from rigs.events.periods import Period

TRIES = 20_000  # bounds the search: about a tenth of a second
NO_NEIGHBOUR = timedelta.max


@dataclass(frozen=True)
class Request:
    """Somebody who needs one unit through a period.

    `unit`: the only one that will do. `home`: the one held now, kept if possible.
    """

    key: Hashable
    period: Period
    unit: int | None = None
    home: int | None = None


Taken = dict[int, list[Period]]


def allocate(
    requests: Iterable[Request],
    units: Sequence[int],
    taken: Iterable[tuple[int, Period]],
    reluctantly: Set[int] = frozenset(),
) -> dict[Hashable, int] | None:
    """Give every request a unit of its own for its period, or None if that can't be done.

    Of the `units` that fit, one outside `reluctantly` with the tightest gap around the period
    is used, so that long gaps stay whole. Where no unit is named or taken, a solution is found
    whenever one exists (placing by start time never needs more units than are in use at one
    instant); with many named ones the search gives up after `TRIES` steps.
    """
    calendar: Taken = defaultdict(list)
    for unit, period in taken:
        calendar[unit].append(period)
    ordered = sorted(requests, key=lambda r: (r.unit is None, r.period.start, r.home is None))
    return _Search(ordered, units, calendar, reluctantly).run()


class _Search:
    """Depth first, in the order given, without recursion: hundreds of requests are usual."""

    def __init__(
        self,
        requests: Sequence[Request],
        units: Sequence[int],
        calendar: Taken,
        reluctantly: Set[int],
    ) -> None:
        self.requests = requests
        self.units = units
        self.calendar = calendar
        self.reluctantly = reluctantly
        self.homes: Taken = defaultdict(list)
        for request in requests:
            if request.home is not None and request.unit is None:
                self.homes[request.home].append(request.period)

    def run(self) -> dict[Hashable, int] | None:
        chosen: list[int] = []
        options: list[list[int]] = []
        for _ in range(TRIES + len(self.requests)):
            depth = len(chosen)
            if depth == len(self.requests):
                return {r.key: unit for r, unit in zip(self.requests, chosen, strict=True)}
            if len(options) == depth:
                options.append(self._options(self.requests[depth]))
            if options[depth]:
                unit = options[depth].pop(0)
                self.calendar[unit].append(self.requests[depth].period)
                chosen.append(unit)
            elif depth == 0:
                return None
            else:
                options.pop()
                self.calendar[chosen.pop()].pop()
        return None

    def _options(self, request: Request) -> list[int]:
        """Units free through the request's period, best first."""
        among = [request.unit] if request.unit is not None else self.units
        fits = [u for u in among if not any(request.period.overlaps(p) for p in self.calendar[u])]
        return sorted(
            fits,
            key=lambda u: (
                u != request.home,
                sum(request.period.overlaps(p) for p in self.homes[u]),
                u in self.reluctantly,
                self._gap(u, request.period),
            ),
        )

    def _gap(self, unit: int, period: Period) -> timedelta:
        """Idle time of the unit around the period; endless where nothing bounds it."""
        before = [p.end for p in self.calendar[unit] if p.end <= period.start]
        after = [p.start for p in self.calendar[unit] if p.start >= period.end]
        if not before and not after:
            return NO_NEIGHBOUR
        lead = period.start - max(before) if before else timedelta.max / 4
        tail = min(after) - period.end if after else timedelta.max / 4
        return lead + tail
