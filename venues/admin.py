"""Venues in Django's own admin site."""

from django.contrib import admin

from venues.models import (
    AudienceArea,
    Circuit,
    HangPoint,
    ListeningPlace,
    RoomSurface,
    Space,
    Supply,
    Venue,
)


class SpaceRows(admin.TabularInline):
    model = Space
    extra = 0


class AreaRows(admin.StackedInline):
    model = AudienceArea
    extra = 0


class PlaceRows(admin.TabularInline):
    model = ListeningPlace
    extra = 0


class SurfaceRows(admin.TabularInline):
    model = RoomSurface
    extra = 0


class SupplyRows(admin.TabularInline):
    model = Supply
    extra = 0


class CircuitRows(admin.TabularInline):
    model = Circuit
    extra = 0


class HangPointRows(admin.TabularInline):
    model = HangPoint
    extra = 0


@admin.register(Venue)
class VenueAdmin(admin.ModelAdmin):
    list_display = ("name", "town", "zone")
    search_fields = ("name", "town")
    inlines = (SpaceRows,)


@admin.register(Space)
class SpaceAdmin(admin.ModelAdmin):
    list_display = ("name", "venue", "indoors", "volume_m3")
    list_select_related = ("venue",)
    search_fields = ("name", "venue__name")
    inlines = (AreaRows, PlaceRows, SurfaceRows, SupplyRows, CircuitRows, HangPointRows)
