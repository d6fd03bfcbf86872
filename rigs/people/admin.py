"""People in Django's own admin site."""

from typing import Any

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.http import HttpRequest

from rigs.people.models import Person


@admin.register(Person)
class PersonAdmin(UserAdmin):
    """Administrators give roles; only a superuser gives single rights or superuser powers."""

    list_display = ("username", "first_name", "last_name", "roles", "is_active", "last_login")
    list_filter = ("groups", "is_active")
    fieldsets = (
        (None, {"fields": ("username", "password")}),
        ("Who", {"fields": ("first_name", "last_name", "email")}),
        ("Roles", {"fields": ("is_active", "is_staff", "is_superuser", "groups")}),
    )
    readonly_fields = ("last_login", "date_joined")

    @admin.display(description="roles")
    def roles(self, person: Person) -> str:
        return ", ".join(group.name for group in person.groups.all())

    def get_queryset(self, request: HttpRequest) -> Any:
        return super().get_queryset(request).prefetch_related("groups")

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> Any:
        own = super().get_readonly_fields(request, obj)
        return own if request.user.is_superuser else (*own, "is_superuser")

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        if obj is not None and obj.is_superuser and not request.user.is_superuser:
            return False
        return super().has_change_permission(request, obj)

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        if obj is not None and obj.is_superuser and not request.user.is_superuser:
            return False
        return super().has_delete_permission(request, obj)
