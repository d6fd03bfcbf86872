from django.urls import path

from rigs.stock import views

app_name = "stock"

urlpatterns = [
    path("stock/", views.list_stock, name="list"),
    path("stock/pieces/<int:counted_id>/", views.pieces, name="pieces"),
    path("stock/units/<int:unit_id>/", views.unit, name="unit"),
    path("stock/units/<int:unit_id>/set-aside/", views.set_aside, name="set_aside"),
    path("stock/units/<int:unit_id>/ready/", views.make_ready, name="make_ready"),
]
