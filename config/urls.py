"""Every door of the site. Each room brings its own paths."""

from django.contrib import admin
from django.urls import include, path

from config.health import healthy

urlpatterns = [
    path("healthy/", healthy, name="healthy"),
    path("admin/", admin.site.urls),
    path("api/", include("config.api_urls")),
    path("", include("rigs.people.urls")),
    path("", include("rigs.events.urls")),
    path("", include("venues.urls")),
    path("", include("rigs.catalogue.urls")),
    path("", include("rigs.stock.urls")),
    path("", include("rigs.systems.urls")),
    path("", include("rigs.packets.urls")),
    path("", include("rigs.tuning.urls")),
    path("", include("rigs.fleet.urls")),
]

handler403 = "rigs.people.views.forbidden"
