from django.apps import AppConfig


class DemoConfig(AppConfig):
    name = "rigs.demo"
    label = "demo"
