from django.apps import AppConfig


class EventsConfig(AppConfig):
    name = "rigs.events"
    label = "events"
