"""Keeping a recording and its file together: both are there, or neither."""

import hashlib
from collections.abc import Sequence
from typing import BinaryIO

from django.core.files import File
from django.db import IntegrityError, transaction

from rigs.people.models import Person
from rigs.systems.faults import Faults, NotSaved, faults_of, from_database, refuse
from rigs.systems.models import DriveLine
from rigs.tuning.actions.analyses import ask_analysis
from rigs.tuning.look import Look, look_at
from rigs.tuning.models import Recording
from rigs.tuning.wav import NotSound, Wav, read_header

Read = tuple[Wav, Look]


def read_sound(file: BinaryIO) -> Read:
    """The header and the first look at a file. Raises `NotSound` with a sentence."""
    wav = read_header(file)
    return wav, look_at(file, wav)


def keep_recording(
    recording: Recording,
    sound: File,
    lines: Sequence[DriveLine] = (),
    *,
    person: Person | None,
    read: Read | None = None,
) -> Recording:
    """Store a new recording with its file under the file's own hash; its analysis is asked for.

    `sound` is moved where it lies on disk, else copied in blocks. `read` is what `read_sound`
    answered for this very file, where the caller has it.

    Raises
    ------
    NotSaved
        With sentences by field; what is wrong with the file stands by "sound".
    """
    file: BinaryIO = sound.file  # type: ignore[assignment]
    try:
        wav, look = read or read_sound(file)
    except NotSound as fault:
        raise NotSaved({"sound": [str(fault)]}) from fault
    recording.rate_hz, recording.channels, recording.frames = wav.rate_hz, wav.channels, wav.frames
    recording.look = look.to_plain()
    recording.made_by = person
    file.seek(0)
    digest = hashlib.file_digest(file, "sha256")  # type: ignore[arg-type]
    recording.sha256 = digest.hexdigest()
    refuse(faults_of(recording) | _faults(recording, look, lines))
    _store(recording, sound, lines)
    return recording


def remove_recording(recording: Recording) -> None:
    """Take a recording away with its file and all that was found in it."""
    recording.delete()


def _store(recording: Recording, sound: File, lines: Sequence[DriveLine]) -> None:
    """File first, then the row; the file goes again where the row can't be."""
    sound.seek(0)
    recording.file.save("", sound, save=False)
    try:
        with transaction.atomic():
            recording.save()
            recording.lines.set(lines)
            ask_analysis(recording, recording.made_by)
    except IntegrityError as refusal:
        recording.file.delete(save=False)
        recording.pk, recording._state.adding = None, True
        raise NotSaved(from_database(refusal, recording)) from refusal


def _faults(recording: Recording, look: Look, lines: Sequence[DriveLine]) -> Faults:
    faults: Faults = {}
    if recording.spot and recording.spot.event_id != recording.event_id:
        faults["spot"] = ["This spot belongs to another event."]
    if recording.microphone and recording.microphone.event_id != recording.event_id:
        faults["microphone"] = ["This microphone belongs to another event."]
    if any(line.event_id != recording.event_id for line in lines):
        faults["lines"] = ["A line of another event's rig stands here."]
    fault = reference_fault(recording.reference_channel, look)
    if fault:
        faults["reference_channel"] = [fault]
    return faults


def reference_fault(channel: int | None, look: Look) -> str:
    """Why the channel that should carry what was played can't; "" if it can."""
    if channel is None:
        return ""
    if len(look.peak_db) < 2:
        return (
            "The file has one channel, which the microphone needs. Record what was played on a "
            "second one, or leave this empty."
        )
    if not 1 <= channel <= len(look.peak_db):
        return f"The file has {len(look.peak_db)} channels: there is no channel {channel}."
    if look.peak_db[channel - 1] is None:
        return f"Channel {channel} is silent: nothing of what was played is on it."
    return ""
