"""A revision never changes: the database itself refuses.

Deleting is still possible, so that an event can go with all that hangs on it. Who made a
revision may become unknown when an account is deleted.
"""

from django.db import migrations

FREEZE = """
CREATE FUNCTION revision_frozen() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF TG_TABLE_NAME = 'systems_revision' THEN
        IF NEW.made_by_id IS NULL
           AND to_jsonb(NEW) - 'made_by_id' = to_jsonb(OLD) - 'made_by_id' THEN
            RETURN NEW;
        END IF;
    END IF;
    RAISE EXCEPTION 'a revision never changes: make the next one'
        USING ERRCODE = 'integrity_constraint_violation';
END
$$;
CREATE TRIGGER revision_frozen BEFORE UPDATE ON systems_revision
    FOR EACH ROW EXECUTE FUNCTION revision_frozen();
CREATE TRIGGER output_frozen BEFORE UPDATE ON systems_output
    FOR EACH ROW EXECUTE FUNCTION revision_frozen();
CREATE TRIGGER output_filter_frozen BEFORE UPDATE ON systems_outputfilter
    FOR EACH ROW EXECUTE FUNCTION revision_frozen();
"""

THAW = """
DROP TRIGGER revision_frozen ON systems_revision;
DROP TRIGGER output_frozen ON systems_output;
DROP TRIGGER output_filter_frozen ON systems_outputfilter;
DROP FUNCTION revision_frozen();
"""


class Migration(migrations.Migration):
    dependencies = [("systems", "0007_processing")]

    operations = [migrations.RunSQL(FREEZE, THAW)]
