from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "rigs.people"
    label = "people"
