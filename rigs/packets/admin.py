"""Runs, packets and ticks for the administrator's eyes: nothing here is edited by hand."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from rigs.packets.models import Packet, Run, Tick


class ReadOnly(admin.ModelAdmin):
    """Looking only."""

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


@admin.register(Run)
class RunAdmin(ReadOnly):
    list_display = ("fingerprint", "state", "progress", "attempts", "asked_at", "seconds", "fault")
    list_filter = ("state",)
    exclude = ("description", "prediction")


@admin.register(Packet)
class PacketAdmin(ReadOnly):
    list_display = ("event", "number", "run", "asked_by", "asked_at", "made_at")
    list_select_related = ("event", "run", "asked_by")
    exclude = ("sections", "pictures", "kit")


@admin.register(Tick)
class TickAdmin(ReadOnly):
    list_display = ("packet", "card", "person", "at")
    list_select_related = ("packet__event", "person")
