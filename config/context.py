"""What every template may know."""

from django.conf import settings
from django.http import HttpRequest


def site(request: HttpRequest) -> dict[str, object]:
    """`demo` is true when the site must announce itself as a demo."""
    return {"demo": settings.DEMO}
