"""Parts of a rig with a place of their own: amplifiers, processors, the mixer, boxes."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from rigs.catalogue.models import Amplifier, Loudspeaker, Mixer, Processor
from rigs.stock.models import Unit
from rigs.systems.models.base import PartOfRig, figure, once, within
from rigs.systems.models.supports import Support

METRES = [
    MinValueValidator(-1000, "Further than 1000 m away?"),
    MaxValueValidator(1000, "Further than 1000 m away?"),
]


class AmplifierPlace(PartOfRig):
    """An amplifier that travels to the event; the unit may be chosen later."""

    rack = models.CharField(max_length=40, blank=True)
    amplifier = models.ForeignKey(Amplifier, on_delete=models.PROTECT, related_name="places")
    unit = models.ForeignKey(
        Unit, on_delete=models.PROTECT, null=True, blank=True, related_name="amplifier_places"
    )
    gain_db = figure(
        "gain setting in dB",
        0,
        60,
        "What its gain switch is set to, level control fully up. Empty: as its sheet says.",
    )
    linked_inputs = models.BooleanField(
        "inputs linked",
        default=False,
        help_text="One signal feeds all of its channels.",
    )

    class Meta(PartOfRig.Meta):
        ordering = ["event", "rack", "name"]
        permissions = [
            ("describe_rig", "Can describe rigs"),
            ("see_loading", "Can see amplifier loading"),
        ]
        constraints = [
            once("amplifier_place_once", "This event has an amplifier of that name already."),
            models.UniqueConstraint(
                fields=["event", "unit"],
                name="amplifier_unit_once",
                violation_error_message="This unit has another place in the rig already.",
            ),
            within("gain_db", 0, 60, "amplifier_gain_believable"),
        ]

    def clean(self) -> None:
        super().clean()
        faults = {}
        if self.unit and self.unit.item_id != self.amplifier_id:
            faults["unit"] = f"{self.unit} is not a {self.amplifier}."
        offered = self.amplifier.gain_settings_db if self.amplifier_id else []
        if self.gain_db is not None and offered and self.gain_db not in offered:
            gains = ", ".join(f"{gain:g}" for gain in offered)
            faults["gain_db"] = f"The gain switch of {self.amplifier} offers {gains} dB."
        if faults:
            raise ValidationError(faults)


class ProcessorPlace(PartOfRig):
    """A processor that travels to the event."""

    processor = models.ForeignKey(Processor, on_delete=models.PROTECT, related_name="places")
    unit = models.ForeignKey(
        Unit, on_delete=models.PROTECT, null=True, blank=True, related_name="processor_places"
    )

    class Meta(PartOfRig.Meta):
        constraints = [
            once("processor_place_once", "This event has a processor of that name already."),
            models.UniqueConstraint(
                fields=["event", "unit"],
                name="processor_unit_once",
                violation_error_message="This unit has another place in the rig already.",
            ),
        ]

    def clean(self) -> None:
        super().clean()
        if self.unit and self.unit.item_id != self.processor_id:
            raise ValidationError({"unit": f"{self.unit} is not a {self.processor}."})


class MixerPlace(PartOfRig):
    """The mixer that feeds the processors: one for each event.

    Its figures are the catalogue's, or typed where it is somebody else's mixer.
    """

    mixer = models.ForeignKey(
        Mixer, on_delete=models.PROTECT, null=True, blank=True, related_name="places"
    )
    max_output_dbu = figure("its output clips at, in dBu", -10, 40, "A sine's level.")
    output_noise_dbu = figure("noise at its output in dBu", -140, 0)

    class Meta(PartOfRig.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["event"],
                name="one_mixer",
                violation_error_message="This event has its mixer already.",
            ),
            models.CheckConstraint(
                condition=Q(mixer__isnull=True)
                | Q(max_output_dbu__isnull=True, output_noise_dbu__isnull=True),
                name="mixer_or_figures",
                violation_error_message="Choose a mixer, or type its figures; not both.",
            ),
            within("max_output_dbu", -10, 40, "mixer_output_believable"),
            within("output_noise_dbu", -140, 0, "mixer_noise_believable"),
        ]


class Placement(PartOfRig):
    """One loudspeaker at a position with an aim, in the axes of the event's space."""

    loudspeaker = models.ForeignKey(Loudspeaker, on_delete=models.PROTECT, related_name="places")
    unit = models.ForeignKey(
        Unit, on_delete=models.PROTECT, null=True, blank=True, related_name="placements"
    )
    x_m = models.FloatField("x in m", default=0, validators=METRES)
    y_m = models.FloatField("y in m", default=0, validators=METRES)
    z_m = models.FloatField(
        "height in m",
        default=1.5,
        validators=[
            MinValueValidator(-50, "Deeper than 50 m below the floor?"),
            MaxValueValidator(200, "Higher than 200 m?"),
        ],
    )
    azimuth_deg = models.FloatField(
        "azimuth in degrees",
        default=0,
        validators=[MinValueValidator(-180), MaxValueValidator(360)],
        help_text="0 looks away from the stage, clockwise seen from above.",
    )
    tilt_deg = models.FloatField(
        "tilt in degrees",
        default=0,
        validators=[MinValueValidator(-90), MaxValueValidator(90)],
        help_text="Negative looks down.",
    )
    roll_deg = models.FloatField(
        "roll in degrees",
        default=0,
        validators=[MinValueValidator(-180), MaxValueValidator(180)],
        help_text="About its aim, clockwise seen from behind: 90 lays it on its side.",
    )
    group = models.CharField(
        "array or stack",
        max_length=40,
        blank=True,
        help_text="Boxes of one name add in phase: Main left, Subs. Empty: it stands by itself.",
    )
    support = models.ForeignKey(
        Support, on_delete=models.SET_NULL, null=True, blank=True, related_name="placements"
    )

    class Meta(PartOfRig.Meta):
        constraints = [
            once("placement_once", "This event has a placement of that name already."),
            models.UniqueConstraint(
                fields=["event", "unit"],
                name="placement_unit_once",
                violation_error_message="This unit stands elsewhere in the rig already.",
            ),
            within("roll_deg", -180, 180, "roll_believable"),
        ]

    def clean(self) -> None:
        super().clean()
        if self.unit and self.unit.item_id != self.loudspeaker_id:
            raise ValidationError({"unit": f"{self.unit} is not a {self.loudspeaker}."})
