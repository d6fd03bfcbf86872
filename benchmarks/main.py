"""The packet and the event page of the largest demo event.

`python -m benchmarks.main` measures in a process of its own, since Django can be set up only
once and the database must be a fresh one.
"""

import json
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from benchmarks.figures import RUNS, Figure, benchmark, median_seconds
from config.paths import PROJECT

GIVEN = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "RIGWRIGHT_MODE")
PAGES = 20
NAMES = (
    "main.packet_build_s",
    "main.packet_compute_share",
    "main.event_page_bytes",
    "main.event_page_queries",
    "main.event_page_ms",
)


@benchmark(*NAMES)
def packet_and_page() -> Iterator[Figure]:
    data = Path(tempfile.mkdtemp(prefix="rigwright-bench-"))
    data.chmod(0o755)
    environment = {key: value for key, value in os.environ.items() if key not in GIVEN}
    try:
        done = subprocess.run(
            [sys.executable, "-m", "config.embedded", sys.executable, "-m", "benchmarks.main"],
            cwd=PROJECT,
            env=environment | {"RIGWRIGHT_DATA": str(data)},
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
    finally:
        shutil.rmtree(data, ignore_errors=True)
    if done.returncode:
        raise RuntimeError(done.stderr.strip().splitlines()[-1])
    for figure in json.loads(done.stdout.splitlines()[-1]):
        yield Figure(**figure)


def _measure() -> list[dict[str, Any]]:
    from config.prepare import main as prepare

    prepare()
    event = _largest_event()
    lines, areas = event.drivelines.count(), event.space.areas.count()
    size = f"{event.name}: {lines} lines, {areas} areas"
    build_s, share = _build_times(event)
    size_bytes, queries, page_s, first_s = _page_figures(event)
    return [
        {"name": NAMES[0], "value": build_s, "unit": "s", "note": f"aim 3 s; {size}"},
        {"name": NAMES[1], "value": share, "unit": "1", "note": "of the build, inside calc"},
        {
            "name": NAMES[2],
            "value": size_bytes,
            "unit": "B",
            "note": "aim 60,000; page, style, scripts and the late part, compressed",
        },
        {"name": NAMES[3], "value": queries, "unit": "", "note": "aim 12"},
        {
            "name": NAMES[4],
            "value": 1000 * page_s,
            "unit": "ms",
            "note": f"aim 50; median of {PAGES}, all of Django, no network; the first look at a "
            f"packet, before its steps are kept, takes {1000 * first_s:.0f} ms",
        },
    ]


def _largest_event() -> Any:
    """The demo event with the most drive lines."""
    from django.db.models import Count

    from rigs.events.models import Event

    counted = Event.objects.annotate(lines=Count("drivelines"))
    return counted.select_related("space__venue").order_by("-lines", "pk").first()


def _build_times(event: Any) -> tuple[float, float]:
    """Median seconds of a build as the worker does it, and the share of calc in it."""
    from rigs.packets.actions import request_packet
    from rigs.packets.models import Packet, Run
    from rigs.packets.tasks import build

    runs = []
    for _ in range(RUNS + 1):
        Packet.objects.filter(event=event).delete()
        Run.objects.filter(packets__isnull=True).delete()
        packet = request_packet(event, None)
        build(packet.run_id)
        runs.append(Run.objects.get(pk=packet.run_id))
    warm = [run for run in runs[1:] if run.seconds and run.computing_seconds]
    seconds = statistics.median(run.seconds for run in warm if run.seconds)
    computing = statistics.median(run.computing_seconds for run in warm if run.computing_seconds)
    return seconds, computing / seconds


def _page_figures(event: Any) -> tuple[int, int, float, float]:
    """Bytes of the first load, queries, and median seconds of the event page: kept, and first."""
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext
    from django.urls import reverse

    from rigs.packets.rendering import steps_as_kept
    from rigs.people.models import Person

    client = Client(headers={"accept-encoding": "gzip", "host": "localhost"})
    client.force_login(Person.objects.get(username="tech"))
    address = reverse("packets:event", args=[event.pk])

    def get() -> Any:
        return client.get(address)

    def get_first() -> Any:
        steps_as_kept.cache_clear()
        return client.get(address)

    first_seconds = median_seconds(get_first)
    seconds = median_seconds(get, PAGES)
    with CaptureQueriesContext(connection) as queries:
        answer = get()
    count = len(queries)  # the next request empties the log
    late = client.get(_late_part(client, address), headers={"HX-Request": "true"})
    first_load = [answer, late, *(client.get(url) for url in _static_parts(client, address))]
    return sum(_sent_bytes(part) for part in first_load), count, seconds, first_seconds


def _plain_page(client: Any, address: str) -> str:
    return str(client.get(address, headers={"accept-encoding": "identity"}).content.decode())


def _static_parts(client: Any, address: str) -> list[str]:
    """Style sheets, scripts and the icon that the page asks for."""
    found = re.findall(r'(?:href|src)="(/static/[^"]+)"', _plain_page(client, address))
    return list(dict.fromkeys(found))


def _late_part(client: Any, address: str) -> str:
    found = re.search(r'hx-get="([^"]+/freshness/)"', _plain_page(client, address))
    assert found, "the event has no made packet"
    return found[1]


def _sent_bytes(answer: Any) -> int:
    """Bytes of a body as it goes over the wire."""
    assert answer.status_code == 200, answer.status_code
    return len(b"".join(answer.streaming_content) if answer.streaming else answer.content)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    print(json.dumps(_measure()))
