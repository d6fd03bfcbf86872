"""Data sheets in Django's own admin site, for corrections that the pages don't offer."""

from typing import Any, ClassVar

from django.contrib import admin

from rigs.catalogue.models import (
    Accessory,
    Amplifier,
    AmplifierMode,
    Cable,
    Connector,
    End,
    Loudspeaker,
    Mixer,
    Processor,
    ProcessorDial,
    ProcessorSlope,
    Rating,
    Way,
)


class WayRows(admin.StackedInline):
    model = Way
    extra = 0


class ModeRows(admin.TabularInline):
    model = AmplifierMode
    extra = 0


class RatingRows(admin.TabularInline):
    model = Rating
    extra = 0


class DialRows(admin.TabularInline):
    model = ProcessorDial
    extra = 0


class SlopeRows(admin.TabularInline):
    model = ProcessorSlope
    extra = 0


class EndRows(admin.TabularInline):
    model = End
    fk_name = "item"
    extra = 0
    autocomplete_fields = ("connector",)


class ItemAdmin(admin.ModelAdmin):
    """Shared by all kinds."""

    list_display: Any = ("maker", "model", "mass_kg")
    list_display_links = ("model",)
    search_fields = ("maker", "model")
    list_filter: ClassVar[Any] = ("maker",)
    inlines: ClassVar[Any] = (EndRows,)


@admin.register(Loudspeaker)
class LoudspeakerAdmin(ItemAdmin):
    list_display = ("maker", "model", "role", "mass_kg")
    list_filter = ("role", "maker")
    inlines = (WayRows, EndRows)


@admin.register(Amplifier)
class AmplifierAdmin(ItemAdmin):
    list_display = ("maker", "model", "channels", "mass_kg")
    inlines = (ModeRows, RatingRows, EndRows)


@admin.register(Cable)
class CableAdmin(ItemAdmin):
    list_display = ("maker", "model", "use", "length_m", "area_mm2")
    list_filter = ("use", "maker")


@admin.register(Processor)
class ProcessorAdmin(ItemAdmin):
    list_display = ("maker", "model", "inputs", "outputs", "mass_kg")
    inlines = (DialRows, SlopeRows, EndRows)


admin.site.register(Mixer, ItemAdmin)
admin.site.register(Accessory, ItemAdmin)


@admin.register(Connector)
class ConnectorAdmin(admin.ModelAdmin):
    list_display = ("name", "direct")
    search_fields = ("name",)
