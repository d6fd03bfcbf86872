"""Paths below /api/ for other programs; each app adds its own."""

from django.urls import path
from drf_spectacular.views import SpectacularAPIView

from rigs.events.api import Availability, EventList
from rigs.packets.api import PacketView
from rigs.systems.api import check_description

app_name = "api"

urlpatterns = [
    path("events/", EventList.as_view(), name="events"),
    path("events/<int:event_id>/availability/", Availability.as_view(), name="availability"),
    path("schema/", SpectacularAPIView.as_view(), name="schema"),
    path("check/", check_description, name="check"),
    path("packets/<int:pk>/", PacketView.as_view(), name="packet"),
]
