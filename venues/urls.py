"""Doors of the venues."""

from django.urls import path

from venues import views

app_name = "venues"

urlpatterns = [
    path("venues/", views.list_venues, name="list"),
    path("venues/new/", views.new_venue, name="new"),
    path("venues/<int:venue_id>/", views.show_venue, name="venue"),
    path("venues/<int:venue_id>/edit/", views.edit_venue, name="edit"),
    path("venues/<int:venue_id>/spaces/new/", views.new_space, name="space_new"),
    path("venues/spaces/<int:space_id>/", views.edit_space, name="space"),
    path("venues/spaces/<int:space_id>/remove/", views.remove_space, name="space_remove"),
    path("venues/spaces/<int:space_id>/surfaces/", views.edit_surfaces, name="surfaces"),
    path("venues/spaces/<int:space_id>/<str:part>/new/", views.new_part, name="part_new"),
    path("venues/parts/<str:part>/<int:part_id>/", views.edit_part, name="part"),
    path("venues/parts/<str:part>/<int:part_id>/remove/", views.remove_part, name="part_remove"),
]
