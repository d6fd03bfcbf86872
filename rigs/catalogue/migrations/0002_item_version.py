import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("catalogue", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            "item",
            "version",
            models.PositiveIntegerField(default=1, editable=False),
        ),
        migrations.AddField(
            "item",
            "changed_at",
            models.DateTimeField(auto_now=True),
        ),
        migrations.AddField(
            "item",
            "changed_by",
            models.ForeignKey(
                blank=True,
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AlterConstraint(
            "end",
            "end_once",
            models.UniqueConstraint(
                fields=("item", "connector", "side"),
                name="end_once",
                violation_error_message="This connector is listed already: raise its count.",
            ),
        ),
    ]
