from django.urls import URLPattern, URLResolver

app_name = "stock"

urlpatterns: list[URLPattern | URLResolver] = []
