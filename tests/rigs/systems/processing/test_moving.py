"""The step that takes processing from drive lines into a revision, on rows from before it."""

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from tests import factories

BEFORE = [("systems", "0008_revisions_frozen"), ("catalogue", "0007_limiter_step_is_a_dial")]
AFTER = [("systems", "0009_outputs_from_lines"), ("catalogue", "0007_limiter_step_is_a_dial")]


@pytest.mark.django_db(transaction=True)
def test_lines_become_outputs_of_the_first_revision():
    event, plain = factories.event(), factories.event()
    amplifier = factories.amplifier(channels=8)
    places = {each.pk: factories.processor_place(each).pk for each in (event, plain)}
    amps = {each.pk: factories.amplifier_place(each, amplifier).pk for each in (event, plain)}
    everything = MigrationExecutor(connection).loader.graph.leaf_nodes()
    try:
        MigrationExecutor(connection).migrate(BEFORE)
        old = MigrationExecutor(connection).loader.project_state(BEFORE).apps

        def line(of, name, channel, output, **fields):
            old.get_model("systems", "DriveLine").objects.create(
                event_id=of.pk, name=name, amplifier_place_id=amps[of.pk], first_channel=channel,
                channels=(channel, channel + 1), output=output,
                processor_place_id=places[of.pk] if output else None, **fields,
            )  # fmt: skip

        line(event, "A", 1, 1, processor_gain_db=-3.0, delay_ms=4.5, inverted=True)
        line(event, "B", 2, 1, processor_gain_db=-3.0, delay_ms=9.0)
        line(event, "C", 3, 2, processor_gain_db=-3.0)
        line(event, "D", 4, 2, processor_gain_db=-6.0)
        line(event, "E", 5, None, delay_ms=7.0)
        line(plain, "F", 1, 1)
        MigrationExecutor(connection).migrate(AFTER)
        new = MigrationExecutor(connection).loader.project_state(AFTER).apps
        revision = new.get_model("systems", "Revision").objects.get()
        assert (revision.event_id, revision.number, revision.made_by) == (event.pk, 1, None)
        assert revision.reason == "Taken over from the drive lines"
        found = {
            output.number: (output.gain_db, output.delay_ms, output.inverted)
            for output in new.get_model("systems", "Output").objects.all()
        }
        assert found == {1: (-3.0, 4.5, True), 2: (None, 0.0, False)}
    finally:
        MigrationExecutor(connection).migrate(everything)
