from django.urls import URLPattern, URLResolver

app_name = "packets"

urlpatterns: list[URLPattern | URLResolver] = []
