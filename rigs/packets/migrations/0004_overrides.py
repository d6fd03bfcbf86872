"""Packets keep the overrides of their findings, ticks the mark of their card."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("packets", "0003_packet_frozen")]

    operations = [
        migrations.AddField(
            model_name="packet",
            name="overrides",
            field=models.JSONField(
                default=list, help_text="Who answers for which finding, as it was then."
            ),
        ),
        migrations.AddField(
            model_name="tick",
            name="mark",
            field=models.CharField(blank=True, default="", editable=False, max_length=16),
            preserve_default=False,
        ),
    ]
