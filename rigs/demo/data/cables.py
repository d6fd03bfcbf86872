"""Cables. Loudspeaker cables are class 5 copper of IEC 60228 with twist-lock ends."""

from rigs.demo.data.connectors import (
    C13,
    C19,
    CEE_16,
    CEE_32,
    CEE_63,
    SPEAKER_2,
    SPEAKER_4,
    SPEAKER_8,
    XLR,
)
from rigs.demo.shapes import CableSheet

MAKER = "Bindweed"


def medium(metres: int) -> str:
    """Name of the 2.5 mm2 loudspeaker cable of that length."""
    return f"4-pole 2.5 mm2, {metres} m"


def thick(metres: int) -> str:
    """Name of the 4 mm2 loudspeaker cable of that length."""
    return f"4-pole 4 mm2, {metres} m"


def signal(metres: int) -> str:
    """Name of the signal cable of that length."""
    return f"Signal, {metres} m"


THIN = "4-pole 1.5 mm2, 30 m"
GREY = "4-pole grey, 15 m"
MULTI = "8-pole 2.5 mm2, 25 m"
OLD_TAIL = "2-pole 2.5 mm2, 10 m"
AMP_LEAD = "Mains 16 A to C19, 3 m"
SMALL_LEAD = "Mains 16 A to C13, 3 m"
MAINS_16 = "Mains 16 A, 10 m"
MAINS_32 = "Mains 32 A, 25 m"
MAINS_63 = "Mains 63 A, 25 m"


def _speaker(name: str, metres: float, area: float | None, kg_per_m: float) -> CableSheet:
    mass = round(0.24 + kg_per_m * metres, 2)
    return CableSheet(name, "loudspeaker", metres, area, "5", 2, mass, SPEAKER_4, SPEAKER_4)


def _plain(name: str, use: str, metres: float, area: float, mass: float, *ends: str) -> CableSheet:
    return CableSheet(name, use, metres, area, "5", 1, mass, ends[0], ends[-1])


LOUDSPEAKER_CABLES = (
    *(_speaker(medium(m), m, 2.5, 0.17) for m in (2, 5, 10, 20, 30)),
    *(_speaker(thick(m), m, 4, 0.26) for m in (2, 5, 10, 20, 30)),
    _speaker(THIN, 30, 1.5, 0.12),
    CableSheet(
        GREY, "loudspeaker", 15, None, "unknown", 2, None, SPEAKER_4, SPEAKER_4,
        "No print on the jacket: area unknown.",
    ),
    CableSheet(MULTI, "loudspeaker", 25, 2.5, "5", 4, 9.4, SPEAKER_8, SPEAKER_8),
    CableSheet(OLD_TAIL, "loudspeaker", 10, 2.5, "5", 1, 1.3, SPEAKER_4, SPEAKER_2),
)  # fmt: skip

OTHER_CABLES = (
    *(
        _plain(signal(m), "signal", m, 0.22, round(0.05 + 0.055 * m, 2), XLR)
        for m in (5, 10, 20, 50)
    ),
    _plain(AMP_LEAD, "mains", 3, 2.5, 0.75, CEE_16, C19),
    _plain(SMALL_LEAD, "mains", 3, 1.5, 0.60, CEE_16, C13),
    _plain(MAINS_16, "mains", 10, 2.5, 2.0, CEE_16),
    _plain(MAINS_32, "mains", 25, 6, 16.0, CEE_32),
    _plain(MAINS_63, "mains", 25, 16, 38.0, CEE_63),
)

CABLES = LOUDSPEAKER_CABLES + OTHER_CABLES
