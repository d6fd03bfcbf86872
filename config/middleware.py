"""Answers to parts of a page that the browser fetches by itself."""

from collections.abc import Callable
from urllib.parse import urlencode, urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.http import url_has_allowed_host_and_scheme

FORBIDDEN = 403
NO_CONTENT = 204


class SignInForParts:
    """Send the whole page to sign-in when a part of it is asked for without a session.

    Otherwise the sign-in page, or a refusal nobody can act on, would land inside the page.
    Stands before the middleware that asks for an account and that checks forms.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        is_part = request.headers.get("HX-Request") == "true"
        if is_part and _asks_for_an_account(request, response):
            answer = HttpResponse(status=NO_CONTENT)
            answer["HX-Redirect"] = f"{settings.LOGIN_URL}?{urlencode({'next': _page(request)})}"
            return answer
        return response


def _asks_for_an_account(request: HttpRequest, response: HttpResponse) -> bool:
    user = getattr(request, "user", None)
    if user is None or user.is_authenticated:
        return False
    to_sign_in = isinstance(response, HttpResponseRedirect) and response.url.startswith(
        settings.LOGIN_URL
    )
    return to_sign_in or response.status_code == FORBIDDEN


def _page(request: HttpRequest) -> str:
    """The page that the part belongs to, to come back to: its path on this site."""
    address = request.headers.get("HX-Current-URL", "")
    if not url_has_allowed_host_and_scheme(address, {request.get_host()}):
        return "/"
    parts = urlsplit(address)
    return parts.path + (f"?{parts.query}" if parts.query else "")
