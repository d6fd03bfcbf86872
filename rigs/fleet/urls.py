"""Doors of the fleet."""

from django.urls import path

from rigs.fleet import views

app_name = "fleet"

urlpatterns = [path("loading/", views.loading, name="loading")]
