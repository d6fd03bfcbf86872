"""What drive lines said about their processor outputs becomes revision 1 of each event.

Lines on one output that differ: delay and polarity are those of the line that comes first by its
name; a gain that they don't agree on becomes unknown, as with a description of that time. What a
line without a processor output said about it is lost: nothing could have done it.
"""

from django.db import migrations

REASON = "Taken over from the drive lines"
UNSAID = (None, 0.0, False)


def to_outputs(apps, schema_editor):
    DriveLine = apps.get_model("systems", "DriveLine")
    Revision = apps.get_model("systems", "Revision")
    Output = apps.get_model("systems", "Output")
    said = {}
    lines = DriveLine.objects.filter(processor_place__isnull=False, output__isnull=False)
    for line in lines.order_by("event_id", "name", "pk"):
        figures = (line.processor_gain_db, line.delay_ms, line.inverted)
        outputs = said.setdefault(line.event_id, {})
        outputs.setdefault((line.processor_place_id, line.output), []).append(figures)
    for event, outputs in said.items():
        if all(figures == UNSAID for lines in outputs.values() for figures in lines):
            continue
        revision = Revision.objects.create(event_id=event, number=1, reason=REASON)
        for (place, number), lines in outputs.items():
            gains = {gain for gain, _, _ in lines}
            Output.objects.create(
                revision=revision,
                processor_place_id=place,
                number=number,
                gain_db=gains.pop() if len(gains) == 1 else None,
                delay_ms=lines[0][1],
                inverted=lines[0][2],
            )


def to_lines(apps, schema_editor):
    DriveLine = apps.get_model("systems", "DriveLine")
    Revision = apps.get_model("systems", "Revision")
    newest = Revision.objects.order_by("event_id", "-number").distinct("event_id")
    for revision in newest:
        for output in revision.outputs.all():
            DriveLine.objects.filter(
                processor_place=output.processor_place_id, output=output.number
            ).update(
                processor_gain_db=output.gain_db,
                delay_ms=output.delay_ms,
                inverted=output.inverted,
            )


class Migration(migrations.Migration):
    dependencies = [("systems", "0008_revisions_frozen")]

    operations = [migrations.RunPython(to_outputs, to_lines)]
