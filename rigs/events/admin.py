"""Events for administrators. Bookings are made by the kit list only, so they are read here."""

from django.contrib import admin
from django.http import HttpRequest

from rigs.events.models import CountBooking, Event, UnitBooking


class ReadOnly(admin.ModelAdmin):
    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False


@admin.register(Event)
class EventAdmin(ReadOnly):
    """Times bind bookings: they are changed on the event's own page."""

    list_display = ("name", "space", "state", "out_at", "back_at")
    list_filter = ("state",)
    list_select_related = ("space__venue",)
    search_fields = ("name",)


@admin.register(UnitBooking)
class UnitBookingAdmin(ReadOnly):
    list_display = ("unit", "row", "period", "chosen")
    list_select_related = ("unit", "row__item")
    search_fields = ("unit__serial", "row__event__name")


@admin.register(CountBooking)
class CountBookingAdmin(ReadOnly):
    list_display = ("item", "quantity", "row", "period")
    list_select_related = ("item", "row__item")
    search_fields = ("item__maker", "item__model", "row__event__name")
