"""The test signals that the tool makes, by the key that stands in addresses and forms."""

from typing import Any

RATE_HZ = 48_000
LOW_HZ, HIGH_HZ, RAMP_S = 20.0, 20_000.0, 2.0
SWEEP_DB, NOISE_DB = -12.0, -20.0
TAIL_S = 5.0
SEED = 7

SIGNALS: dict[str, dict[str, Any]] = {
    "sweep-5": {"kind": "sweep", "seconds": 5.0},
    "sweep-10": {"kind": "sweep", "seconds": 10.0},
    "sweep-20": {"kind": "sweep", "seconds": 20.0},
    "noise-15": {"kind": "pink noise", "seconds": 15.0},
    "noise-30": {"kind": "pink noise", "seconds": 30.0},
    "noise-60": {"kind": "pink noise", "seconds": 60.0},
}


def played(key: str) -> dict[str, Any]:
    """All that is needed to make a signal again, as it is stored with a recording."""
    chosen = SIGNALS[key]
    more = (
        {"rms_db": SWEEP_DB, "tail_s": TAIL_S}
        if chosen["kind"] == "sweep"
        else {"rms_db": NOISE_DB, "seed": SEED}
    )
    shared = {"rate_hz": RATE_HZ, "low_hz": LOW_HZ, "high_hz": HIGH_HZ, "ramp_s": RAMP_S}
    return {"key": key, **chosen, **shared, **more}


def words(stored: dict[str, Any]) -> str:
    """What was played: exponential sweep, 10 s."""
    kind = "exponential sweep" if stored["kind"] == "sweep" else stored["kind"]
    return f"{kind}, {stored['seconds']:g} s"


def whole_seconds(key: str) -> float:
    """How long the file is, with its ramp and the silence after it."""
    stored = played(key)
    return float(stored["ramp_s"] + stored["seconds"] + stored.get("tail_s", 0.0))
