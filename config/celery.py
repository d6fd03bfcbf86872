"""The Celery app: `celery -A config worker -B` runs the jobs and the clock."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("rigwright")
# By name, so that Django's settings are read at first use and not while they load.
app.config_from_object("config.jobs")
app.autodiscover_tasks()
