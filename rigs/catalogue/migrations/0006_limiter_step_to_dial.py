"""The step of a processor's limiter moves to what its threshold can be set to."""

from django.db import migrations

LIMITER = "limiter_dbu"


def to_dials(apps, schema_editor):
    Processor = apps.get_model("catalogue", "Processor")
    Dial = apps.get_model("catalogue", "ProcessorDial")
    for processor in Processor.objects.all():
        if processor.limiter_step_db is not None:
            Dial.objects.create(
                processor=processor, quantity=LIMITER, step=processor.limiter_step_db
            )
        if processor.basis.pop("limiter_step_db", None):
            processor.save(update_fields=["basis"])


def to_steps(apps, schema_editor):
    Dial = apps.get_model("catalogue", "ProcessorDial")
    for dial in Dial.objects.filter(quantity=LIMITER, step__isnull=False):
        dial.processor.limiter_step_db = dial.step
        dial.processor.save(update_fields=["limiter_step_db"])


class Migration(migrations.Migration):
    dependencies = [("catalogue", "0005_processor_abilities")]

    operations = [migrations.RunPython(to_dials, to_steps)]
