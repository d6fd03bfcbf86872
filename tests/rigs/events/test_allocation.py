"""Units for requests: nobody twice at once, and a solution wherever there must be one."""

from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from rigs.events.allocation import Request, allocate
from rigs.events.periods import Period

START = datetime(2030, 1, 1, tzinfo=UTC)


def period(start: int, length: int) -> Period:
    return Period(START + timedelta(hours=start), START + timedelta(hours=start + length))


wishes = st.lists(
    st.tuples(st.integers(0, 40), st.integers(1, 15), st.none() | st.integers(1, 3)), max_size=25
)


def busiest(periods: list[Period]) -> int:
    return max((sum(p.start <= q.start < p.end for p in periods) for q in periods), default=0)


@settings(max_examples=150, deadline=None)
@given(wishes)
def test_free_requests_fit_exactly_when_no_instant_is_too_busy(wanted) -> None:
    requests = [Request(n, period(s, long), home=home) for n, (s, long, home) in enumerate(wanted)]
    found = allocate(requests, [1, 2, 3], [])
    assert (found is not None) == (busiest([r.period for r in requests]) <= 3)
    for a in requests if found else []:
        for b in requests:
            apart = a.key == b.key or not a.period.overlaps(b.period)
            assert apart or found[a.key] != found[b.key]


@settings(max_examples=150, deadline=None)
@given(wishes, wishes)
def test_named_units_are_given_and_taken_ones_left_alone(wanted, held) -> None:
    taken = [(unit, period(s, long)) for s, long, unit in held if unit]
    requests = [Request(n, period(s, long), unit=u) for n, (s, long, u) in enumerate(wanted[:6])]
    found = allocate(requests, [1, 2, 3], taken)
    for request in requests if found else []:
        unit = found[request.key]
        assert request.unit in (None, unit)
        assert not any(u == unit and p.overlaps(request.period) for u, p in taken)


def test_nobody_moves_without_need() -> None:
    stays = [Request("a", period(0, 5), home=1), Request("b", period(2, 5), home=2)]
    found = allocate([*stays, Request("new", period(1, 3))], [1, 2, 3], [])
    assert found == {"a": 1, "b": 2, "new": 3}


def test_the_tightest_gap_is_used_first() -> None:
    taken = [(1, period(0, 2)), (1, period(20, 2)), (2, period(0, 9)), (2, period(15, 5))]
    assert allocate([Request("new", period(10, 4))], [1, 2, 3], taken) == {"new": 2}


def test_giving_up_is_quick_when_named_units_make_it_impossible() -> None:
    taken = [(1, period(0, 5)), (2, period(5, 5))]
    assert allocate([Request("new", period(0, 10))], [1, 2], taken) is None
