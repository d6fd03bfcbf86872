"""`manage.py recompute FILE`: the same figures again, from a downloaded description."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rigs.packets.compute import VERSION, CannotCompute, compute, fingerprint, to_plain
from rigs.packets.downloads import DescriptionFile, read_description_file
from rigs.packets.tables import prediction_tables


class Command(BaseCommand):
    help = "Compute a downloaded description again and print its figures."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="description-....json from a packet")
        parser.add_argument("--json", action="store_true", help="print the whole prediction")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            given = read_description_file(options["file"])
            prediction = compute(given.system)
        except CannotCompute as fault:
            raise CommandError(str(fault)) from fault
        self._say_what_differs(given)
        if options["json"]:
            plain = to_plain(prediction)
            self.stdout.write(json.dumps(plain, indent=1, ensure_ascii=False))
        else:
            self.stdout.write(prediction_tables(given.system, prediction))

    def _say_what_differs(self, given: DescriptionFile) -> None:
        if given.calc_version and given.calc_version != VERSION:
            self.stderr.write(
                f"The file was made with version {given.calc_version} of the sums, these are "
                f"version {VERSION}: figures may differ."
            )
        elif given.fingerprint and given.fingerprint != fingerprint(given.system):
            self.stderr.write(
                "The fingerprint differs: this file is not the one that was downloaded."
            )
