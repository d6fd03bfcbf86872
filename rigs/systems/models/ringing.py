"""Stage microphones, and how their feedback was tamed: notches and the log of the ring-out."""

from django.conf import settings
from django.contrib.postgres.fields import ArrayField
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from rigs.events.models import Event
from rigs.systems.models.base import InRig, PartOfRig, figure, once, within
from rigs.systems.models.lines import DriveLine
from rigs.systems.models.parts import METRES, ProcessorPlace
from rigs.systems.models.processing import Revision

MOST_NOTCHES = 31


class StageMicrophone(PartOfRig):
    """A microphone that the rig makes louder, at its show place, in the axes of the space."""

    class Pattern(models.TextChoices):
        OMNI = "omnidirectional", "omnidirectional"
        WIDE_CARDIOID = "wide cardioid", "wide cardioid"
        CARDIOID = "cardioid", "cardioid"
        SUPERCARDIOID = "supercardioid", "supercardioid"
        HYPERCARDIOID = "hypercardioid", "hypercardioid"
        FIGURE_OF_EIGHT = "figure of eight", "figure of eight"
        UNKNOWN = "unknown", "unknown: counts as omnidirectional"

    x_m = models.FloatField("x in m", default=0, validators=METRES)
    y_m = models.FloatField("y in m", default=-1, validators=METRES)
    z_m = models.FloatField("height in m", default=1.5, validators=METRES)
    azimuth_deg = models.FloatField(
        "faces, in degrees",
        default=180,
        validators=[MinValueValidator(-360), MaxValueValidator(360)],
        help_text="Where its front looks, as a box's aim: 0 from the stage into the audience, "
        "180 to the back of the stage.",
    )
    tilt_deg = models.FloatField(
        "tilt in degrees",
        default=0,
        validators=[MinValueValidator(-90), MaxValueValidator(90)],
    )
    pattern = models.CharField(max_length=20, choices=Pattern.choices, default=Pattern.UNKNOWN)
    source_m = figure(
        "distance of the source in m", 0.01, 20, "From the mouth or instrument to the microphone."
    )
    is_open = models.BooleanField(
        "open with the others", default=True, help_text="It counts among the open microphones."
    )
    equivalent_m = figure(
        "shall seem as near as, in m",
        0.05,
        100,
        "To the farthest listener. Empty: as the event's choices say. More for what is loud by "
        "itself, such as drums.",
    )
    not_played_by = models.ManyToManyField(
        DriveLine, blank=True, related_name="+", verbose_name="kept out of"
    )

    class Meta(PartOfRig.Meta):
        constraints = [
            once("stage_microphone_once", "This event has a microphone of that name already."),
            within("azimuth_deg", -360, 360, "stage_microphone_azimuth_believable"),
            within("tilt_deg", -90, 90, "stage_microphone_tilt_believable"),
            within("source_m", 0.01, 20, "stage_microphone_source_believable"),
            within("equivalent_m", 0.05, 100, "stage_microphone_nearness_believable"),
        ]


class RingOut(InRig):
    """What an event's ring-out works with: which outputs get notches, how many, for what."""

    class Material(models.TextChoices):
        SPEECH = "speech"
        MUSIC = "music"

    processor_place = models.ForeignKey(
        ProcessorPlace, on_delete=models.CASCADE, related_name="ring_outs"
    )
    outputs = ArrayField(
        models.PositiveSmallIntegerField(validators=[MinValueValidator(1)]),
        help_text="The numbers of the outputs that get the notches.",
    )
    material = models.CharField(
        max_length=6, choices=Material.choices, default=Material.SPEECH, verbose_name="made for"
    )
    notches = models.PositiveSmallIntegerField(
        default=12,
        validators=[
            MinValueValidator(1, "One notch at least."),
            MaxValueValidator(MOST_NOTCHES, f"More than {MOST_NOTCHES} notches leave no sound."),
        ],
        help_text="How many in all.",
    )
    reserve = models.PositiveSmallIntegerField(
        default=6, help_text="How many of them are kept free for the show."
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["event"],
                name="one_ring_out",
                violation_error_message="This event has its ring-out already.",
            ),
            models.CheckConstraint(
                condition=Q(notches__gte=1, notches__lte=MOST_NOTCHES),
                name="ring_out_notches_believable",
            ),
            models.CheckConstraint(
                condition=Q(reserve__lte=F("notches")),
                name="reserve_within_notches",
                violation_error_message="No more can be kept free than there are.",
            ),
        ]

    def __str__(self) -> str:
        return f"ring-out of {self.event}"


class RingNotch(InRig):
    """One notch: placed at sound check, or out of the reserve during the show."""

    class Origin(models.TextChoices):
        MEASURED = "measured", "from the measured loop"
        HEARD = "heard", "heard while the gain was raised"
        TYPED = "typed", "typed"

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="ring_notches")
    frequency_hz = models.FloatField(
        "frequency in Hz",
        validators=[
            MinValueValidator(20, "Below 20 Hz nothing rings."),
            MaxValueValidator(20_000, "Above 20 kHz nothing rings."),
        ],
    )
    gain_db = models.FloatField(
        "gain in dB",
        default=-6,
        validators=[
            MinValueValidator(-40, "A notch cuts by 40 dB at most."),
            MaxValueValidator(-0.5, "A notch cuts: -0.5 dB at least."),
        ],
    )
    q = models.FloatField(
        "Q",
        validators=[
            MinValueValidator(0.5, "Wider than two octaves is no notch."),
            MaxValueValidator(200, "Narrower than Q 200 catches nothing."),
        ],
    )
    microphone = models.ForeignKey(
        StageMicrophone, on_delete=models.SET_NULL, null=True, blank=True, related_name="notches"
    )
    origin = models.CharField(max_length=8, choices=Origin.choices, default=Origin.TYPED)
    from_reserve = models.BooleanField(default=False, editable=False)
    adds_db = figure("gain that it buys in dB", -40, 40)
    revision = models.ForeignKey(
        Revision,
        on_delete=models.SET_NULL,
        null=True,
        editable=False,
        related_name="ring_notches",
        help_text="The processing revision that it went into.",
    )
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        editable=False,
        related_name="+",
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["event", "made_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["event", "frequency_hz"],
                name="ring_notch_once",
                violation_error_message="There is a notch at this frequency already.",
            ),
            within("frequency_hz", 20, 20_000, "ring_notch_frequency_believable"),
            within("gain_db", -40, -0.5, "ring_notch_cuts"),
            within("q", 0.5, 200, "ring_notch_q_believable"),
        ]

    def __str__(self) -> str:
        return f"notch at {self.frequency_hz:g} Hz"


class RingEntry(models.Model):
    """One line of the log: how far one microphone was raised, and what happened. Never changed."""

    class Ended(models.TextChoices):
        RANG = "rang", "rang"
        CLEAR = "clear", "did not ring"
        STOPPED = "stopped", "stopped by the stop rule"

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="ring_entries")
    microphone = models.CharField(max_length=40, help_text="Its name at that time.")
    ended = models.CharField("what happened", max_length=8, choices=Ended.choices)
    level_db = figure(
        "level reached in dB", -80, 40, "Against its show position: +6 is 6 dB above it."
    )
    margin_db = figure("margin left in dB", -40, 60, "From the show position to the first ring.")
    frequency_hz = figure("it rang at, in Hz", 20, 20_000)
    note = models.CharField(max_length=200, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        editable=False,
        related_name="+",
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["event", "made_at", "pk"]
        constraints = [
            within("level_db", -80, 40, "ring_entry_level_believable"),
            within("margin_db", -40, 60, "ring_entry_margin_believable"),
            within("frequency_hz", 20, 20_000, "ring_entry_frequency_believable"),
        ]

    def __str__(self) -> str:
        return f"{self.microphone}: {self.get_ended_display()}"
