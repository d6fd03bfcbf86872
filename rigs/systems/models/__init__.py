"""The rig of an event: what stands where, driven by what, fed from where, borne by what."""

from rigs.systems.models.aims import AimProposal
from rigs.systems.models.alignments import Alignment, ListeningSpot, MeasuredResponse
from rigs.systems.models.base import InRig, PartOfRig
from rigs.systems.models.choices import RigChoice
from rigs.systems.models.decisions import LimiterNote, Override
from rigs.systems.models.lines import DriveLine, Link
from rigs.systems.models.mains import RackFeed
from rigs.systems.models.parts import AmplifierPlace, MixerPlace, Placement, ProcessorPlace
from rigs.systems.models.processing import Output, OutputFilter, Revision
from rigs.systems.models.ringing import RingEntry, RingNotch, RingOut, StageMicrophone
from rigs.systems.models.supports import ExtraLoad, Support

__all__ = [
    "AimProposal",
    "Alignment",
    "AmplifierPlace",
    "DriveLine",
    "ExtraLoad",
    "InRig",
    "LimiterNote",
    "Link",
    "ListeningSpot",
    "MeasuredResponse",
    "MixerPlace",
    "Output",
    "OutputFilter",
    "Override",
    "PartOfRig",
    "Placement",
    "ProcessorPlace",
    "RackFeed",
    "Revision",
    "RigChoice",
    "RingEntry",
    "RingNotch",
    "RingOut",
    "StageMicrophone",
    "Support",
]
