from django.apps import AppConfig


class TuningConfig(AppConfig):
    name = "rigs.tuning"
    label = "tuning"
