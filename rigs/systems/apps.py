from django.apps import AppConfig


class SystemsConfig(AppConfig):
    name = "rigs.systems"
    label = "systems"
