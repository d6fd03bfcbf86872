"""What the room does: decay, critical distance, and how well speech is understood."""

from rigs.packets.compute import Prediction, RoomResult
from rigs.packets.sections.blocks import UNKNOWN, Json, checklist, figures, quantity, table, text
from rigs.systems.pictures.bands import hertz, nominal_hz

MEANING = (
    "Estimates for planning: measure before you rely on them. The speech index says nothing about "
    "an evacuation system: this is none."
)


def room_blocks(prediction: Prediction) -> list[Json]:
    """Nothing outdoors, and nothing where no decay time is known or can be worked out."""
    room = prediction.room
    if room is None or not any(decay is not None for decay in room.decay_s):
        return []
    return [
        text(MEANING),
        _octaves(room),
        _speech(room),
        figures(
            ("Schroeder frequency", quantity(room.schroeder_hz, "Hz")),
            ("Level of speech", _speech_level(room)),
            ("Noise of the room", "in the index" if room.noise_known else UNKNOWN),
        ),
        *([checklist("What it means", room.sentences)] if room.sentences else []),
        *([checklist("What is missing", room.unknown)] if room.unknown else []),
    ]


def _octaves(room: RoomResult) -> Json:
    rows = [
        (
            octave,
            quantity(decay, "s"),
            basis or UNKNOWN,
            quantity(distance, "m"),
        )
        for octave, decay, basis, distance in zip(
            map(hertz, map(nominal_hz, room.octaves_hz)),
            room.decay_s,
            room.decay_basis,
            room.critical_distance_m,
            strict=True,
        )
    ]
    heads = ("Octave", "#Decay", "From", "#Critical distance, 0.057 sqrt(QV/T)")
    return table("Decay time and critical distance", heads, rows)


def _speech(room: RoomResult) -> Json:
    rows = [
        (
            area.area,
            quantity(area.mean_direct_db, "dB"),
            UNKNOWN
            if area.mean_index is None
            else f"{area.mean_index:.2f}, category {area.rating}",
            UNKNOWN if area.least_index is None else f"{area.least_index:.2f}",
        )
        for area in room.speech
    ]
    heads = ("Area", "#Direct to reverberant", "#Speech index, mean", "#Least")
    return table("Speech transmission index, IEC 60268-16 edition 5, male", heads, rows)


def _speech_level(room: RoomResult) -> str:
    assumed = ", assumed" if room.speech_assumed else ""
    return f"{quantity(room.speech_dba, 'dB(A)')}{assumed}"
