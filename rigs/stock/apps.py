from django.apps import AppConfig


class StockConfig(AppConfig):
    name = "rigs.stock"
    label = "stock"
