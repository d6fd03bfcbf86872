from django.apps import AppConfig


class VenuesConfig(AppConfig):
    name = "venues"
    label = "venues"
