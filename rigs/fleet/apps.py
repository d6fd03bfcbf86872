from django.apps import AppConfig


class FleetConfig(AppConfig):
    name = "rigs.fleet"
    label = "fleet"
