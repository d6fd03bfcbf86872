#!/usr/bin/env python
"""Django's command line. Finds the embedded servers while `bin/serve` runs."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    from django.core.management import execute_from_command_line
    from django.db import OperationalError

    try:
        execute_from_command_line(sys.argv)
    except OperationalError as problem:
        sys.exit(
            f"The database does not answer: {problem}\n"
            "Start bin/serve, run this as `bin/with-servers ./manage.py ...`, or set DATABASE_URL."
        )


if __name__ == "__main__":
    main()
