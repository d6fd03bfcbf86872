"""Doors of the catalogue."""

from django.urls import path

from rigs.catalogue import views

app_name = "catalogue"

urlpatterns = [
    path("catalogue/", views.list_items, name="list"),
    path("catalogue/new/<str:kind>/", views.new_item, name="new"),
    path("catalogue/<int:item_id>/", views.show_item, name="item"),
    path("catalogue/<int:item_id>/edit/", views.edit_item, name="edit"),
]
