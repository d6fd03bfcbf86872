"""`manage.py demo`: the invented hire company, in an empty database."""

from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from rigs.demo import queries
from rigs.demo.actions import NotHere, fill_demo


def _day(text: str) -> date:
    return date.fromisoformat(text)


class Command(BaseCommand):
    help = "Fill an empty database with an invented hire company, its stock and its events."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--today", type=_day, help="The day around which the events lie, as 2030-06-01."
        )

    def handle(self, *args: Any, **options: Any) -> None:
        today = options["today"] or timezone.localdate()
        try:
            filled = fill_demo(today, packets=settings.DEMO)
        except NotHere as refused:
            raise CommandError(str(refused)) from refused
        if filled:
            self.stdout.write("Demo company Rookwharf Sound Hire is ready.")
        else:
            self.stdout.write("There are data already: nothing is changed.")
        for line in queries.contents():
            self.stdout.write(line)
        if settings.DEMO:
            self.stdout.write(queries.accounts())
        if queries.last_day() and queries.last_day() < f"{today:%Y-%m-%d}":
            self.stdout.write(
                "All events are over. To have new ones around today, stop, move the data folder "
                "away and start again."
            )
