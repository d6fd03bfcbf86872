"""Loudspeakers and their ways."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from rigs.catalogue.axis import Response, response_fault
from rigs.catalogue.directivity import Balloon, Polars, directivity_fault, from_plain
from rigs.catalogue.impedance import Curve, curve_fault
from rigs.catalogue.models.items import Item, Kind, Tracking
from rigs.catalogue.models.sheets import Sheet, not_below, positive, quantity

STORED_FAULTS = {
    "impedance_curve": curve_fault,
    "directivity": directivity_fault,
    "axis_response": response_fault,
}
"""What is stored as lists, and what can be wrong with each."""


class Loudspeaker(Item):
    """A loudspeaker type; its bands are `Way`s."""

    kind_of_class = Kind.LOUDSPEAKER
    tracking_of_class = Tracking.SERIAL

    class Role(models.TextChoices):
        TOP = "top"
        SUB = "sub"
        MONITOR = "monitor"
        FILL = "fill"
        LINE_ELEMENT = "line element"

    role = models.CharField(max_length=15, choices=Role.choices)
    width_m = quantity("width in m", 0.02, 5)
    height_m = quantity("height in m", 0.02, 5)
    depth_m = quantity("depth in m", 0.02, 5)

    class Meta:
        constraints = positive("width_m", "height_m", "depth_m")


class Way(Sheet):
    """One separately driven band of a loudspeaker. Terms as in IEC 60268-5."""

    class SensitivityBasis(models.TextChoices):
        ONE_WATT = "1 W", "1 W at 1 m"
        VOLTS = "2.83 V", "2.83 V at 1 m"

    loudspeaker = models.ForeignKey(Loudspeaker, on_delete=models.CASCADE, related_name="ways")
    order = models.PositiveSmallIntegerField(default=1)
    name = models.CharField(max_length=30)
    pole_pair = models.PositiveSmallIntegerField(
        default=1, help_text="Which pole pair of the connector feeds it."
    )
    rated_impedance_ohm = quantity("rated impedance in ohm", 1, 600)
    minimum_impedance_ohm = quantity("minimum impedance in ohm", 0.5, 600)
    noise_power_w = quantity("rated noise power in W", 0.1, 20000)
    programme_power_w = quantity(
        "programme power in W",
        0.1,
        50000,
        "For limiters only where a named person decides so. Leave empty if unknown.",
    )
    peak_power_w = quantity("peak power in W", 0.1, 100000)
    sensitivity_db = quantity("sensitivity in dB", 60, 130)
    sensitivity_basis = models.CharField(
        max_length=6, choices=SensitivityBasis.choices, default=SensitivityBasis.ONE_WATT
    )
    low_hz = quantity("lowest frequency in Hz", 10, 20000)
    high_hz = quantity("highest frequency in Hz", 20, 40000)
    coverage_h_deg = quantity("horizontal coverage in degrees", 1, 360)
    coverage_v_deg = quantity("vertical coverage in degrees", 1, 360)
    impedance_curve = models.JSONField(
        null=True,
        blank=True,
        help_text="Impedance over frequency: lists frequency_hz, magnitude_ohm, phase_deg.",
    )
    piston_diameter_m = quantity(
        "piston diameter in m",
        0.01,
        2,
        "Of a cone that radiates like a round piston. It counts before the coverage angles.",
    )
    directivity = models.JSONField(
        null=True,
        blank=True,
        help_text="Measured: polars in two planes, or a balloon. It counts before the piston.",
    )
    axis_response = models.JSONField(
        null=True,
        blank=True,
        help_text="On the axis over frequency: lists frequency_hz, level_db, phase_deg.",
    )
    least_high_pass_hz = quantity(
        "lowest high pass in Hz",
        0,
        20000,
        "Its maker demands a high pass with its corner here or above. 0: it needs none. "
        "Leave empty if unknown.",
    )
    least_high_pass_order = models.PositiveSmallIntegerField(
        "slope of the lowest high pass, at least",
        null=True,
        blank=True,
        choices=[(order, f"{6 * order} dB/octave") for order in range(1, 9)],
        help_text="Leave empty if unknown.",
    )

    class Meta:
        ordering = ["loudspeaker", "order"]
        constraints = [
            models.UniqueConstraint(
                fields=["loudspeaker", "name"],
                name="way_name_once",
                violation_error_message="This loudspeaker has a way of that name already.",
            ),
            models.CheckConstraint(
                condition=Q(low_hz__isnull=True)
                | Q(high_hz__isnull=True)
                | Q(low_hz__lt=F("high_hz")),
                name="way_band_upwards",
                violation_error_message="The lowest frequency must lie below the highest.",
            ),
            models.CheckConstraint(
                condition=Q(minimum_impedance_ohm__isnull=True)
                | Q(rated_impedance_ohm__isnull=True)
                | Q(minimum_impedance_ohm__lte=F("rated_impedance_ohm")),
                name="way_minimum_below_rated",
                violation_error_message="The minimum impedance can't be above the rated one.",
            ),
            not_below(
                "peak_power_w",
                "noise_power_w",
                "way_peak_not_below_noise",
                "The peak power can't be below the rated noise power.",
            ),
            not_below(
                "programme_power_w",
                "noise_power_w",
                "way_programme_not_below_noise",
                "The programme power can't be below the rated noise power.",
            ),
            models.CheckConstraint(
                condition=Q(least_high_pass_hz__isnull=True) | Q(least_high_pass_hz__gte=0),
                name="way_high_pass_not_negative",
                violation_error_message="A frequency can't be negative.",
            ),
            models.CheckConstraint(
                condition=Q(least_high_pass_order__isnull=True)
                | Q(least_high_pass_hz__isnull=False, least_high_pass_order__range=(1, 8)),
                name="way_slope_needs_a_frequency",
                violation_error_message="Say from which frequency this slope protects.",
            ),
            *positive(
                "rated_impedance_ohm",
                "minimum_impedance_ohm",
                "noise_power_w",
                "programme_power_w",
                "peak_power_w",
                "coverage_h_deg",
                "coverage_v_deg",
                "piston_diameter_m",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def curve(self) -> Curve | None:
        """Impedance over frequency, where somebody entered it."""
        return Curve.from_plain(self.impedance_curve) if self.impedance_curve else None

    @property
    def radiation(self) -> Polars | Balloon | None:
        """What was measured of its directivity, where somebody entered it."""
        return from_plain(self.directivity) if self.directivity else None

    @property
    def axis(self) -> Response | None:
        """Level on the axis over frequency, where somebody entered it."""
        return Response.from_plain(self.axis_response) if self.axis_response else None

    @property
    def axis_basis(self) -> str:
        """What the response on the axis stands on."""
        return self.basis_of("axis_response")

    def clean(self) -> None:
        super().clean()
        for name, fault_of in STORED_FAULTS.items():
            stored = getattr(self, name)
            fault = fault_of(stored) if stored is not None else ""
            if fault:
                raise ValidationError({name: fault})
