"""The worker's settings. Chosen so that a killed worker or broker loses no job.

A job may run twice all the same (a lease that ran out, a message that came back), so each
task claims its row with a conditional UPDATE first and leaves when it hit none.
"""

from django.conf import settings

broker_url = settings.REDIS_URL
broker_connection_retry_on_startup = True
broker_connection_max_retries = None
# Someone waits for the page that asks for a job: a dead broker must be noticed at once.
# The request itself is safe in PostgreSQL, and is queued again when the broker is back.
task_publish_retry = False

task_serializer = "json"
accept_content = ["json"]
timezone = "UTC"
task_ignore_result = True

task_acks_late = True
task_reject_on_worker_lost = True
worker_prefetch_multiplier = 1
task_time_limit = 120  # seconds, as all times here
task_soft_time_limit = 110

broker_transport_options = {
    # Longer than any task may run, else a task that still runs is handed out twice.
    "visibility_timeout": task_time_limit + 30,
    # The default sweep for messages of lost workers comes too rarely (about every 100 s).
    "unacked_restore_interval": 1,
    "unacked_restore_throttle": 1,
    "unacked_mutex_expire": 5,
    "socket_connect_timeout": 2,
    "socket_timeout": 30,
}

# Each worker carries its own clock (`worker -B`). Several clocks are harmless: requeuing
# only queues what is still waiting, and a job that is queued twice is claimed once.
LOOKS_FOR_WORK = {
    "requeue-waiting": "rigs.packets.tasks.requeue_waiting",
    "requeue-aims": "rigs.systems.tasks.requeue_aims",
    "requeue-analyses": "rigs.tuning.tasks.requeue_analyses",
    "requeue-fits": "rigs.tuning.tasks.requeue_fits",
    "requeue-notch-plans": "rigs.tuning.tasks.requeue_notch_plans",
}
beat_schedule = {
    name: {"task": task, "schedule": 5.0, "options": {"expires": 5}}
    for name, task in LOOKS_FOR_WORK.items()
}
