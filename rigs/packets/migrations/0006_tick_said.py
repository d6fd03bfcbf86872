"""A tick of a dial-in sheet's entry keeps what the entry read."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("packets", "0005_overrides_frozen")]

    operations = [
        migrations.AddField(
            model_name="tick",
            name="said",
            field=models.CharField(blank=True, default="", editable=False, max_length=200),
            preserve_default=False,
        ),
    ]
