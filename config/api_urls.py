"""Paths below /api/ for other programs; each app adds its own."""

from django.urls import path
from drf_spectacular.views import SpectacularAPIView

app_name = "api"

urlpatterns = [
    path("schema/", SpectacularAPIView.as_view(), name="schema"),
]
