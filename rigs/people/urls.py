"""Doors of the people app."""

from django.urls import path

from rigs.people import views

app_name = "people"

urlpatterns = [
    path("", views.home, name="home"),
    path("sign-in/", views.SignIn.as_view(), name="sign_in"),
    path("sign-out/", views.SignOut.as_view(), name="sign_out"),
]
