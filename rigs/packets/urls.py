"""Doors of the packets app."""

from django.urls import path

from rigs.packets import views

app_name = "packets"

urlpatterns = [
    path("events/<int:event_id>/", views.event, name="event"),
    path("events/<int:event_id>/packet/", views.request_packet, name="request"),
    path("packets/<int:packet_id>/", views.packet, name="packet"),
    path("packets/<int:packet_id>/progress/", views.progress, name="progress"),
    path("packets/<int:packet_id>/freshness/", views.freshness, name="freshness"),
    path("packets/<int:packet_id>/tick/", views.tick, name="tick"),
    path("packets/<int:packet_id>/dial-in/<int:number>/", views.dial_in, name="dial_in"),
    path("packets/<int:packet_id>/dial-in.csv", views.dial_in_csv, name="dial_in_csv"),
    path("packets/<int:packet_id>/dial-in.json", views.dial_in_json, name="dial_in_json"),
    path("packets/<int:packet_id>/packet.pdf", views.pdf, name="pdf"),
    path("packets/<int:packet_id>/description.json", views.description, name="description"),
    path("packets/<int:packet_id>/pictures/<slug:key>.svg", views.picture, name="picture"),
]
