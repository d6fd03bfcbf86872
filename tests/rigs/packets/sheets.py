"""Dial-in sheets, alignments and line-up steps made by hand, and packets that have them.

The figures are not worked out here: what a packet shows of them is what is tested.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any
from unittest.mock import patch

from calc.check import check
from calc.prediction import (
    AlignmentResult,
    CrossoverResult,
    DialInSheet,
    EnteredValue,
    LineUpStep,
    OutputSheet,
    SheetEntry,
)
from rigs.events.models import Event
from rigs.packets import builds
from rigs.packets.models import Packet
from tests.rigs.packets.rigs import made_packet

OF_PROCESSING = ("fits_processor", "protection", "crossover_polarity", "crossover_order")
HZ = (50.0, 100.0, 200.0)


def value(words: str, wanted: float, entered: float | None, unit: str = "", name: str = ""):
    return EnteredValue(name=name, unit=unit, wanted=wanted, entered=entered, words=words)


def delay(ms: float, wished: float | None = None) -> SheetEntry:
    wished = ms if wished is None else wished
    return SheetEntry("delay", "Delay", (value(f"{ms:g} ms", wished, ms, "ms"),))


def high_pass(hz: float = 98.4, wished: float | None = None) -> SheetEntry:
    wished = hz if wished is None else wished
    title = "High-pass, Linkwitz-Riley 24 dB/octave"
    return SheetEntry("high-pass", title, (value(f"{hz:g} Hz", wished, hz, "Hz"),))


def gain(db: float = -3.5) -> SheetEntry:
    return SheetEntry("gain", "Gain", (value(f"{db:g} dB", db, db, "dB"),))


def limiter() -> SheetEntry:
    return SheetEntry(
        "limiter",
        "Limiter",
        (
            value("+5.0 dBu", 5.3, 5.0, "dBu", "rms"),
            value("+11.0 dBu", 11.3, 11.0, "dBu", "peak"),
            value("20 ms", 20.0, 20.0, "ms", "attack"),
            value("320 ms", 320.0, 320.0, "ms", "release"),
        ),
        note="Rounded down: a threshold is never raised.",
    )


def too_high() -> SheetEntry:
    return SheetEntry(
        "filter 1",
        "Peak",
        (value("30 kHz", 30_000.0, None, "Hz"),),
        fits=False,
        note="This processor ends at 20 kHz. Best that does: 20 kHz.",
    )


ENTRIES = (gain(), delay(7.25, 7.316), high_pass(98.4, 98.44), limiter())


def output(number: int = 1, *entries: SheetEntry, **fields: Any) -> OutputSheet:
    usual: dict[str, Any] = {
        "lines": (f"Line {number}",),
        "boxes": (f"Top {number}",),
        "rounding_db": 0.03,
        "rounding_deg": 1.2,
        "rounding_at_hz": 98.4,
        "band_hz": (60.0, 16_000.0),
    }
    return OutputSheet(output=number, entries=entries or ENTRIES, **usual | fields)


def sheet(*outputs: OutputSheet, **fields: Any) -> DialInSheet:
    usual = {"processor": "Processor", "model": "Testmade Six", "unit": "SN-1"}
    return DialInSheet(outputs=outputs or (output(1), output(2)), **usual | fields)


def step(key: str = "faders", **fields: Any) -> LineUpStep:
    usual = {"title": "Faders down", "does": "Pull all faders down.", "expect": "Silence."}
    return LineUpStep(key=key, **usual | fields)


def alignment(**fields: Any) -> AlignmentResult:
    usual: dict[str, Any] = {
        "name": "Subs to tops",
        "kind": "sub to top",
        "spot": "Mixing desk",
        "moved": ("Line 2",),
        "reference": ("Line 1",),
        "moved_arrival_ms": 20.0,
        "reference_arrival_ms": 27.3,
        "delay_ms": 7.3,
        "add_ms": 7.3,
        "invert": False,
        "overlap_hz": (60.0, 140.0),
        "worst_phase_deg": 170.0,
        "best_worst_phase_deg": 25.0,
        "sum_db": -2.0,
        "best_sum_db": 5.5,
        "as_inversion": "",
        "drift_ms": 0.3,
        "set_temperature_c": 12.0,
        "show_temperature_c": 24.0,
        "measured": False,
        "frequency_hz": HZ,
        "phase_deg": (-100.0, 80.0, -60.0),
        "best_phase_deg": (-10.0, -20.0, -15.0),
        "moved_db": (100.0, 98.0, 80.0),
        "reference_db": (80.0, 98.0, 100.0),
        "sum_db_curve": (100.0, 96.0, 100.0),
        "best_sum_db_curve": (100.0, 103.5, 100.0),
    }
    return AlignmentResult(**usual | fields)


def crossover(**fields: Any) -> CrossoverResult:
    usual: dict[str, Any] = {
        "subject": "Top 1",
        "also": ("Top 2",),
        "spot": "",
        "lower": "LF",
        "upper": "HF",
        "kind": "Linkwitz-Riley 24 dB/octave",
        "crossover_hz": 1200.0,
        "needed_inverted": False,
        "is_inverted": True,
        "phase_deg": 180.0,
        "sum_db": -30.0,
        "worst_dip_db": -30.0,
        "basis": "data sheet",
        "frequency_hz": HZ,
        "lower_db": (100.0, 94.0, 80.0),
        "upper_db": (80.0, 94.0, 100.0),
        "sum_db_curve": (100.0, 64.0, 100.0),
        "lower_phase_deg": (0.0, -90.0, -180.0),
        "upper_phase_deg": (180.0, 90.0, 0.0),
        "group_delay_ms": (1.0, 1.0, 1.0),
    }
    return CrossoverResult(**usual | fields)


@contextmanager
def predicted(**fields: Any) -> Iterator[None]:
    """Builds predict these besides what the rig gives, and nothing else of processing."""

    def compute(system: Any, steps: Any = None) -> Any:
        found = check(system, steps)
        rest = tuple(one for one in found.findings if one.check not in OF_PROCESSING)
        by_hand = {"sheets": (), "crossovers": (), "alignments": (), "line_up": ()} | fields
        return replace(found, **{"findings": rest} | by_hand)

    with patch.object(builds, "compute", compute):
        yield


def packet_with(event: Event, *sheets: DialInSheet, **fields: Any) -> Packet:
    """A packet of the event as it stands, with these sheets."""
    with predicted(sheets=sheets or (sheet(),), **fields):
        # The sums do not know of what is made by hand: each packet needs a rig of its own.
        event.kit.update(quantity=event.packets.count() + 20)
        event.placements.update(y_m=event.packets.count())
        return made_packet(event)
