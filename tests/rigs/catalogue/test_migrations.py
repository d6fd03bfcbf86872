"""The step that adds electrical figures, on rows that were there before it."""

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

BEFORE = [("catalogue", "0002_item_version")]
AFTER = [("catalogue", "0003_electrical")]


@pytest.mark.django_db(transaction=True)
def test_sheets_from_before_stay_and_know_nothing_of_the_new_figures():
    everything = MigrationExecutor(connection).loader.graph.leaf_nodes()
    try:
        MigrationExecutor(connection).migrate(BEFORE)
        old = MigrationExecutor(connection).loader.project_state(BEFORE).apps
        box = old.get_model("catalogue", "Loudspeaker").objects.create(
            maker="Testmade", model="Old", kind="loudspeaker", role="top"
        )
        old.get_model("catalogue", "Way").objects.create(
            loudspeaker=box, name="full range", noise_power_w=400.0
        )
        amp = old.get_model("catalogue", "Amplifier").objects.create(
            maker="Testmade", model="Old amp", kind="amplifier"
        )
        old.get_model("catalogue", "Rating").objects.create(
            amplifier=amp, mode="per channel", load_ohm=8.0, power_w=500.0
        )
        MigrationExecutor(connection).migrate(AFTER)
        new = MigrationExecutor(connection).loader.project_state(AFTER).apps
        way = new.get_model("catalogue", "Way").objects.get()
        assert (way.noise_power_w, way.programme_power_w, way.impedance_curve) == (400, None, None)
        assert new.get_model("catalogue", "Amplifier").objects.get().gain_settings_db == []
        assert new.get_model("catalogue", "Rating").objects.get().signal == "not stated"
    finally:
        MigrationExecutor(connection).migrate(everything)
