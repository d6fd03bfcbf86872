"""Recordings of past events, made up: a sweep at each of their spots and the empty room.

What arrives at a spot is the box, its way over the floor, and a room that dies away; all from
where they stand, so that the pages have something true to find.
"""

import io
import math
import wave
from datetime import timedelta

import numpy as np
from django.core.files.base import ContentFile
from numpy.typing import NDArray
from scipy.signal import firwin2, oaconvolve

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems.models import ListeningSpot, Placement, StageMicrophone
from rigs.tuning.actions import keep_recording
from rigs.tuning.analyse.playing import signal_of
from rigs.tuning.models import Recording
from rigs.tuning.signals import played

MEASURED = {
    "Chandlers' Dance": ("Inner top left", ("Tops left",)),
    "Harbour Lights": ("Top 1 left", ("Tops 1-2 left LF", "Tops 1-2 left HF")),
}
"""By event: the box that plays, and its lines."""

SIGNAL = "sweep-5"
RATE_HZ = 48_000
SPEED_M_S = 343.0
DECAY_S, LATE, FLOOR = 0.9, 0.0025, 0.8
NOISE, FULL_SCALE_DB, QUIET_S = 4e-4, 116.0, 11.0
GAIN = 1.6
BEFORE_SHOW = timedelta(hours=2)

TAPS = 8191

Samples = NDArray[np.float64]
Curve = tuple[Samples, Samples]


def fill_recordings(event: Event, person: Person) -> None:
    """Keep the recordings of an event that has some; a worker analyses them."""
    if event.name not in MEASURED:
        return
    for row in fill_sweeps(event, person):
        _made_before(row)
    room = Recording(
        event=event, content=Recording.Content.BACKGROUND, source=Recording.Source.UPLOADED,
        sensitivity_db=FULL_SCALE_DB, note="Doors closed, nobody in the room",
    )  # fmt: skip
    keep_recording(room, wav_of(noise(round(QUIET_S * RATE_HZ), 99)), person=person)
    _made_before(room)


def fill_sweeps(
    event: Event, person: Person, equaliser: Curve | None = None, run: int = 0
) -> list[Recording]:
    """A sweep at each spot, through `equaliser` (Hz and dB) where there is one."""
    box_name, line_names = MEASURED[event.name]
    box = event.placements.get(name=box_name)
    lines = list(event.drivelines.filter(name__in=line_names))
    sweep = signal_of(played(SIGNAL)).samples[: round(9.5 * RATE_HZ)]
    kept = []
    for number, spot in enumerate(event.listeningspots.order_by("name")):
        arrived = arrival(box, spot, number)
        if equaliser is not None:
            arrived = oaconvolve(arrived, _equalised(equaliser))
        loud = GAIN / max(1.0, GAIN * float(np.abs(arrived).max()) * 2)
        heard = loud * oaconvolve(sweep, arrived)[: len(sweep)]
        heard += noise(len(sweep), number + 100 * run)
        row = Recording(
            event=event, spot=spot, content=Recording.Content.SWEEP, played=played(SIGNAL),
            source=Recording.Source.UPLOADED, sensitivity_db=FULL_SCALE_DB,
        )  # fmt: skip
        kept.append(keep_recording(row, wav_of(heard), lines, person=person))
    return kept


def _equalised(curve: Curve) -> Samples:
    """A linear-phase filter of that level: what it delays is nobody's business here."""
    hz, level = curve
    places = np.concatenate([[0.0], hz, [RATE_HZ / 2]])
    gains = 10 ** (np.concatenate([level[:1], level, level[-1:]]) / 20)
    taps: Samples = firwin2(TAPS, places, gains, fs=RATE_HZ)
    return taps


def arrival(box: Placement, spot: ListeningSpot | StageMicrophone, seed: int) -> Samples:
    """The direct sound at 0.1 s, the floor's after it, and the room."""
    along = math.hypot(box.x_m - spot.x_m, box.y_m - spot.y_m)
    direct = math.hypot(along, box.z_m - spot.z_m)
    over_floor = math.hypot(along, box.z_m + spot.z_m)
    times = np.arange(round(2 * RATE_HZ)) / RATE_HZ
    late = np.random.default_rng(seed).standard_normal(len(times))
    response: Samples = LATE * late * 10 ** (-3 * times / DECAY_S)
    response *= times > direct / SPEED_M_S
    for way, share in ((direct, 1.0), (over_floor, FLOOR)):
        response[round(way / SPEED_M_S * RATE_HZ)] += share / way
    return response


def noise(length: int, seed: int) -> Samples:
    """Of the room and the microphone, a row of its own for each seed."""
    row: Samples = NOISE * np.random.default_rng(1000 + seed).standard_normal(length)
    return row


def wav_of(samples: Samples) -> ContentFile:
    """One channel (n,), or several (n, channels)."""
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1 if samples.ndim == 1 else samples.shape[1])
        out.setsampwidth(2)
        out.setframerate(RATE_HZ)
        dither = np.random.default_rng(0).random(samples.shape) - 0.5
        out.writeframes(np.round(samples * 32_767 + dither).astype("<i2").tobytes())
    return ContentFile(file.getvalue(), "demo.wav")


def _made_before(row: Recording) -> None:
    """As if it had been made on the day, before the show."""
    before = row.event.show_from - BEFORE_SHOW
    Recording.objects.filter(pk=row.pk).update(made_at=before)
