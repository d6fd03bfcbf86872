"""A page for health checks: the web server runs and the database answers."""

from django.contrib.auth.decorators import login_not_required
from django.db import connection
from django.http import HttpRequest, HttpResponse


@login_not_required
def healthy(request: HttpRequest) -> HttpResponse:
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return HttpResponse("healthy\n", content_type="text/plain")
