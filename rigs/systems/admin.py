"""Rigs in the administrator's back room; the pages are where they are described."""

from django.contrib import admin

from rigs.systems.models import AmplifierPlace, DriveLine, Link, Placement, ProcessorPlace


class LinkInline(admin.TabularInline):
    model = Link
    extra = 0
    raw_id_fields = ["placement", "way", "cable"]


class PartAdmin(admin.ModelAdmin):
    list_display = ["name", "event"]
    list_filter = ["event"]
    search_fields = ["name", "event__name"]
    raw_id_fields = ["event"]


@admin.register(DriveLine)
class DriveLineAdmin(PartAdmin):
    inlines = [LinkInline]
    raw_id_fields = ["event", "processor_place", "amplifier_place"]


@admin.register(Placement)
class PlacementAdmin(PartAdmin):
    raw_id_fields = ["event", "loudspeaker", "unit"]


@admin.register(AmplifierPlace)
class AmplifierPlaceAdmin(PartAdmin):
    raw_id_fields = ["event", "amplifier", "unit"]


@admin.register(ProcessorPlace)
class ProcessorPlaceAdmin(PartAdmin):
    raw_id_fields = ["event", "processor", "unit"]
