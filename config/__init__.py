"""Settings, doors and servers. Importing Celery here lets `shared_task` find its app."""

from config.celery import app as celery_app

__all__ = ["celery_app"]
