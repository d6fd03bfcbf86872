from django.urls import URLPattern, URLResolver

app_name = "venues"

urlpatterns: list[URLPattern | URLResolver] = []
