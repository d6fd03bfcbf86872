"""`python -m config.prepare`: bring database, demo data and static files up to date.

One process for all three, since starting Django costs more than the work itself.
"""

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

import django
from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command, get_commands


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    call_command("migrate", interactive=False, verbosity=0)
    collect_static()
    if settings.DEMO and "demo" in get_commands():
        call_command("demo")  # its words (the demo accounts) are shown below the address


def collect_static() -> None:
    """Collect and compress static files, unless nothing changed since the last time."""
    if settings.WHITENOISE_USE_FINDERS:
        return
    stamp = Path(settings.STATIC_ROOT) / ".stamp"
    state = hashlib.sha256("\n".join(sorted(_static_files())).encode()).hexdigest()
    if stamp.exists() and stamp.read_text() == state:
        return
    call_command("collectstatic", interactive=False, verbosity=0, clear=True)
    stamp.write_text(state)


def _static_files() -> Iterator[str]:
    for finder in get_finders():
        for name, storage in finder.list([]):
            facts = os.stat(storage.path(name))
            yield f"{name} {facts.st_size} {facts.st_mtime_ns}"


if __name__ == "__main__":
    main()
