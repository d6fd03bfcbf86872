"""Working on an analysis: read the sound, let `calc` look at it, store what was found."""

from functools import partial
from typing import BinaryIO

from rigs.jobs.claims import MOST_ATTEMPTS, Claim, Steps
from rigs.jobs.work import Words
from rigs.jobs.work import work as do
from rigs.tuning.analyse.analysing import analyse
from rigs.tuning.analyse.found import plain
from rigs.tuning.analyse.recorded import settings_of
from rigs.tuning.analyse.sound import rows_of
from rigs.tuning.models import Analysis

WORDS = Words(
    too_long="The analysis took too long and was stopped. Cut the recording to 2 minutes at "
    "most, then add it again.",
    broke="The analysis broke on a fault of ours, not of the recording. Ask again; if it breaks "
    "again, tell your administrator: the log of the worker has the details.",
    died_too_often=f"The worker stopped in the middle of this analysis {MOST_ATTEMPTS} times. "
    "Cut the recording shorter, or tell your administrator.",
)
LOST = "The file of this recording is lost. Remove the recording, then add it again."


def work(held: Claim[Analysis]) -> None:
    """Analyse until it is done or has failed with a sentence."""
    do(held, partial(_analyse, held), WORDS)


def _analyse(held: Claim[Analysis]) -> None:
    rows = Analysis.objects.select_related("recording__calibration", "recording__event__space")
    recording = rows.get(pk=held.pk).recording
    try:
        file: BinaryIO = recording.file.open("rb")  # type: ignore[assignment]
    except FileNotFoundError:
        raise ValueError(LOST) from None
    with file, rows_of(file) as samples:
        found = analyse(samples, recording.rate_hz, settings_of(recording), Steps(held))
    held.finish(result=plain(found))
