from django.apps import AppConfig


class PacketsConfig(AppConfig):
    name = "rigs.packets"
    label = "packets"
