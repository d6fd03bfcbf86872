from django.apps import AppConfig


class CatalogueConfig(AppConfig):
    name = "rigs.catalogue"
    label = "catalogue"
