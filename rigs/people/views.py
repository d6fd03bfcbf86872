"""Signing in and out, the way home, and what stands on the page when a right is missing."""

from django.conf import settings
from django.contrib.auth import views as auth_views
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from rigs.people import rights
from rigs.people.demo import DEMO_ACCOUNTS, DEMO_PASSWORD
from rigs.people.forms import SignInForm
from rigs.people.queries import refusal, roles_of


class SignIn(auth_views.LoginView):
    """In demo mode the page also offers the demo accounts, one button each."""

    template_name = "people/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True
    extra_context = {"demo_accounts": DEMO_ACCOUNTS, "demo_password": DEMO_PASSWORD}


class SignOut(auth_views.LogoutView):
    """By POST only."""


def home(request: HttpRequest) -> HttpResponse:
    """Each role starts at the page that its work starts at."""
    roles = roles_of(request.user)
    if not roles and not request.user.is_superuser:
        return render(request, "people/no_role.html")
    return redirect("fleet:loading" if rights.MANAGER in roles else "events:list")


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Say which right is missing and who has it."""
    right = getattr(request.user, "last_refused", "") if hasattr(request, "user") else ""
    sentence = refusal(request.user, right) if right else str(exception or "")
    context = {"sentence": sentence, "demo": settings.DEMO}
    return render(request, "403.html", context, status=403)
