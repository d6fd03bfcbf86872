"""The stock for administrators."""

from django.contrib import admin
from django.http import HttpRequest

from rigs.stock.models import Count, Rack, Unit


@admin.register(Unit)
class UnitAdmin(admin.ModelAdmin):
    list_display = ("serial", "item", "state", "fault", "rack", "rack_position")
    list_filter = ("state", "item__kind")
    list_select_related = ("item", "rack")
    search_fields = ("serial", "item__maker", "item__model")


@admin.register(Count)
class CountAdmin(admin.ModelAdmin):
    """Read here; counts are changed on the stock's pages, which know what is promised."""

    list_display = ("item", "owned", "set_aside")
    list_select_related = ("item",)
    search_fields = ("item__maker", "item__model")

    def has_change_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False


@admin.register(Rack)
class RackAdmin(admin.ModelAdmin):
    list_display = ("name", "mass_empty_kg")
    search_fields = ("name",)
