"""Events, their kit lists, and the bookings that promise stock to them.

Times are UTC. A booking's period is half-open, [from, to): it starts `preparation` before the
event's kit goes out and ends `turnaround` after it is back, both as the item asks.
"""

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Deferrable, F, Q

from rigs.catalogue.models import Item, Tracking
from rigs.stock.models import Unit
from rigs.versions import Versioned
from venues.models import Space


class Event(Versioned):
    """One booking of the company: a show in a space, with the times that bind its kit."""

    TIMES_IN_ORDER = (
        ("out_at", "load_in_at", "Load-in can't be before the kit leaves."),
        ("load_in_at", "show_from", "The show can't start before load-in."),
        ("show_from", "show_until", "The show must end after it starts."),
        ("show_until", "back_at", "The kit can't be back before the show ends."),
    )

    class State(models.TextChoices):
        PLANNED = "planned"
        CONFIRMED = "confirmed"
        CANCELLED = "cancelled"

    name = models.CharField(max_length=80)
    space = models.ForeignKey(Space, on_delete=models.PROTECT, related_name="events")
    state = models.CharField(max_length=10, choices=State.choices, default=State.PLANNED)
    state_before = models.CharField(
        "state before it was cancelled",
        max_length=10,
        choices=State.choices,
        blank=True,
        editable=False,
    )
    out_at = models.DateTimeField("kit leaves the warehouse")
    load_in_at = models.DateTimeField("load-in")
    show_from = models.DateTimeField("show starts")
    show_until = models.DateTimeField("show ends")
    back_at = models.DateTimeField("kit is back")
    audience = models.PositiveIntegerField(
        "expected audience",
        null=True,
        blank=True,
        validators=[MaxValueValidator(500_000, "More than 500,000 listeners?")],
    )
    crest_factor_db = models.FloatField(
        "crest factor of the programme in dB",
        default=12,
        validators=[
            MinValueValidator(3, "Less than 3 dB is below a sine."),
            MaxValueValidator(30, "More than 30 dB is not believable."),
        ],
        help_text="Live music 12 to 18, dense playback 6 to 10 (common practice).",
    )
    target_dba = models.FloatField(
        "wished level over the audience in dB(A)",
        null=True,
        blank=True,
        validators=[
            MinValueValidator(40, "Less than 40 dB(A) is quieter than talk."),
            MaxValueValidator(115, "More than 115 dB(A) hurts people: this is not planned here."),
        ],
        help_text="LAeq over the show. Leave empty if nobody said.",
    )
    programme_dbu = models.FloatField(
        "level of the programme at the processors' inputs in dBu",
        null=True,
        blank=True,
        validators=[
            MinValueValidator(-60, "Below -60 dBu nothing is heard."),
            MaxValueValidator(30, "No mixer gives more than 30 dBu."),
        ],
        help_text="Its rms level while the show runs. Leave empty if nobody knows.",
    )
    temperature_c = models.FloatField(
        "air temperature at the show in °C",
        default=20,
        validators=[MinValueValidator(-30), MaxValueValidator(55)],
    )
    humidity_pct = models.FloatField(
        "relative humidity in %",
        default=50,
        validators=[MinValueValidator(1), MaxValueValidator(100)],
    )
    pressure_kpa = models.FloatField(
        "air pressure in kPa",
        default=101.325,
        validators=[
            MinValueValidator(50, "Below 50 kPa nobody breathes well."),
            MaxValueValidator(110, "Above 110 kPa is not believable."),
        ],
        help_text="101.3 at the sea, about 1.2 less for every 100 m of height.",
    )
    contact = models.CharField("contact on site", max_length=120, blank=True)
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["out_at", "name"]
        permissions = [
            ("plan_event", "Can plan events"),
            ("build_kit", "Can build kit lists"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(out_at__lte=F("load_in_at"))
                & Q(load_in_at__lte=F("show_from"))
                & Q(show_from__lt=F("show_until"))
                & Q(show_until__lte=F("back_at")),
                name="event_times_in_order",
                violation_error_message=(
                    "The times must run in order: kit out, load-in, show starts, show ends, back."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        super().clean()
        faults = {}
        for earlier, later, sentence in self.TIMES_IN_ORDER:
            first, second = getattr(self, earlier), getattr(self, later)
            if first and second and (second < first or (later == "show_until" and second == first)):
                faults[later] = sentence
        if faults:
            raise ValidationError(faults)


class KitRow(models.Model):
    """So many pieces of one item on an event's kit list.

    `quantity` is asked of the stock; `short_by` more are wished for, but known to be missing.
    """

    class Place(models.TextChoices):
        RACK = "rack"
        LINE = "line"
        STAGE = "stage"
        SPARE = "spare"

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="kit")
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="kit_rows")
    place = models.CharField(max_length=6, choices=Place.choices, default=Place.LINE)
    quantity = models.PositiveIntegerField(
        validators=[MinValueValidator(1, "At least one."), MaxValueValidator(5000)]
    )
    short_by = models.PositiveIntegerField(
        "pieces noted as missing", default=0, validators=[MaxValueValidator(5000)]
    )
    why = models.CharField(max_length=120, blank=True)
    chosen_before = models.ManyToManyField(
        Unit,
        related_name="+",
        blank=True,
        editable=False,
        help_text="Picked by serial when the event was cancelled, to be had again.",
    )

    class Meta:
        ordering = ["place", "item"]
        constraints = [
            models.UniqueConstraint(fields=["event", "item", "place"], name="kit_row_once"),
            models.CheckConstraint(condition=Q(quantity__gte=1), name="kit_row_not_empty"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.item}"

    @property
    def wanted(self) -> int:
        """How many pieces the event should have, those noted as missing included."""
        return self.quantity + self.short_by

    @property
    def pieces_promised(self) -> int:
        """How many pieces the row really has. Uses what was fetched with the row."""
        if self.item.tracking == Tracking.SERIAL:
            return len(self.unit_bookings.all())
        booking = getattr(self, "count_booking", None)
        return booking.quantity if booking else 0


HALF_OPEN = Q(
    period__isempty=False,
    period__lower_inc=True,
    period__upper_inc=False,
    period__upper_inf=False,
)


class UnitBooking(models.Model):
    """A unit promised to a kit row. The database refuses a unit twice at the same time.

    The refusal comes with the statement, or at commit where a transaction has asked for that
    (`SET CONSTRAINTS unit_booked_once DEFERRED`): exchanging units between events needs it.
    """

    row = models.ForeignKey(KitRow, on_delete=models.CASCADE, related_name="unit_bookings")
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="bookings")
    period = DateTimeRangeField()
    chosen = models.BooleanField(
        default=False, help_text="Picked by serial; otherwise any unit will do."
    )

    class Meta:
        constraints = [
            ExclusionConstraint(
                name="unit_booked_once",
                expressions=[
                    ("unit", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
                deferrable=Deferrable.IMMEDIATE,
                violation_error_message="This unit is promised elsewhere at that time.",
            ),
            models.CheckConstraint(condition=HALF_OPEN, name="unit_booking_period_half_open"),
        ]

    def __str__(self) -> str:
        return f"{self.unit} for {self.row}"


class CountBooking(models.Model):
    """Pieces of a counted item promised to a kit row.

    A trigger (migration `count_limit`) refuses a row that would raise the pieces promised at
    any instant above what `stock.Count` has usable.
    """

    row = models.OneToOneField(KitRow, on_delete=models.CASCADE, related_name="count_booking")
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="count_bookings")
    quantity = models.PositiveIntegerField()
    period = DateTimeRangeField()

    class Meta:
        indexes = [models.Index(fields=["item"], name="count_booking_item")]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gte=1), name="count_booking_not_empty"),
            models.CheckConstraint(condition=HALF_OPEN, name="count_booking_period_half_open"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.item} for {self.row}"
