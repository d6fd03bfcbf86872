"""Target curves: the response that is aimed at in a room."""

from django.db import models

from rigs.versions import Versioned
from venues.models import Venue


class TargetCurve(Versioned):
    """Control points (Hz, dB re 1 kHz), straight in between over the logarithm of frequency.

    `venue` empty: the company's. The tool's own curves are not rows: `calc` has them.
    """

    name = models.CharField(max_length=60)
    venue = models.ForeignKey(
        Venue, on_delete=models.CASCADE, null=True, blank=True, related_name="target_curves"
    )
    points = models.JSONField(help_text="Pairs of frequency in Hz and level in dB, rising.")

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["venue", "name"],
                name="target_once",
                nulls_distinct=False,
                violation_error_message="There is a target curve of that name already.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
