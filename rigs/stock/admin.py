"""The stock for administrators."""

from django.contrib import admin

from rigs.stock.models import Count, Rack, Unit


@admin.register(Unit)
class UnitAdmin(admin.ModelAdmin):
    list_display = ("serial", "item", "state", "fault", "rack", "rack_position")
    list_filter = ("state", "item__kind")
    list_select_related = ("item", "rack")
    search_fields = ("serial", "item__maker", "item__model")


@admin.register(Count)
class CountAdmin(admin.ModelAdmin):
    list_display = ("item", "owned", "set_aside")
    list_select_related = ("item",)
    search_fields = ("item__maker", "item__model")


@admin.register(Rack)
class RackAdmin(admin.ModelAdmin):
    list_display = ("name", "mass_empty_kg")
    search_fields = ("name",)
