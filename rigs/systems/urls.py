from django.urls import URLPattern, URLResolver

app_name = "systems"

urlpatterns: list[URLPattern | URLResolver] = []
