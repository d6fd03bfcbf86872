"""Filters as short words, and what each box of the company usually gets."""

from rigs.systems.plans import FilterPlan

LINKWITZ_RILEY, BUTTERWORTH = "Linkwitz-Riley", "Butterworth"
WITH_SUBS_HZ = 88.4
"""Where tops end and subs begin: a step of the coarse processor."""

Filters = tuple[FilterPlan, ...]


def high(hz: float, order: int = 4, family: str = LINKWITZ_RILEY) -> FilterPlan:
    """A high pass."""
    return FilterPlan("high-pass", hz, family, order)


def low(hz: float, order: int = 4, family: str = LINKWITZ_RILEY) -> FilterPlan:
    """A low pass."""
    return FilterPlan("low-pass", hz, family, order)


def peak(hz: float, db: float, q: float) -> FilterPlan:
    """A peak, or a dip where `db` is below 0."""
    return FilterPlan("peak", hz, gain_db=db, q=q)


CROSSOVERS = {
    "Godwit 12": 1374.0, "Godwit 15": 1260.0, "Godwit 212": 1122.5, "Turnstone 10": 1155.4,
    "Mizzle 15": 1260.0,
}  # fmt: skip
LOWEST = {
    "Bittern 15": 42.0, "Bittern 18": 35.4, "Bittern 218": 33.4, "Olivine 15": 44.5,
    "Olivine 18": 38.6, "Haar 12": 47.2, "Godwit 12": 57.8, "Godwit 15": 51.5,
    "Godwit 212": 53.0, "Turnstone 10": 63.0,
}  # fmt: skip
SUBS = frozenset({"Bittern 15", "Bittern 18", "Bittern 218", "Olivine 15", "Olivine 18", "Haar 12"})
PLAIN_HZ = 79.3
"""High pass of boxes that play by themselves: speech and wedges need no less."""


def usual_filters(model: str, way: str, with_subs: bool) -> Filters:
    """What an output gets that feeds this way of this box."""
    if model in SUBS:
        return (high(LOWEST[model], 4, BUTTERWORTH), low(WITH_SUBS_HZ))
    if way == "HF":
        return (high(CROSSOVERS[model]),)
    if way == "LF":
        bottom = high(WITH_SUBS_HZ) if with_subs else high(LOWEST[model], 4, BUTTERWORTH)
        return (bottom, low(CROSSOVERS[model]))
    return (high(WITH_SUBS_HZ) if with_subs else high(PLAIN_HZ, 2, BUTTERWORTH),)
