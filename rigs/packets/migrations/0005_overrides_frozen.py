"""The overrides of a made packet never change either."""

from django.db import migrations

REPLACE = """
CREATE OR REPLACE FUNCTION packet_frozen() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF OLD.made_at IS NOT NULL AND (
        NEW.event_id, NEW.number, NEW.run_id, NEW.about, NEW.kit, {new} NEW.sections,
        NEW.pictures, NEW.asked_at, NEW.made_at
    ) IS DISTINCT FROM (
        OLD.event_id, OLD.number, OLD.run_id, OLD.about, OLD.kit, {old} OLD.sections,
        OLD.pictures, OLD.asked_at, OLD.made_at
    ) THEN
        RAISE EXCEPTION 'packet % is made and never changes', OLD.id
            USING ERRCODE = 'integrity_constraint_violation';
    END IF;
    RETURN NEW;
END
$$;
"""
WITH = REPLACE.format(new="NEW.overrides,", old="OLD.overrides,")
WITHOUT = REPLACE.format(new="", old="")


class Migration(migrations.Migration):
    dependencies = [("packets", "0004_overrides")]

    operations = [migrations.RunSQL(WITH, WITHOUT)]
