"""A line of the ring-out's log never changes: the database itself refuses.

Who wrote it may become unknown when an account is deleted, and it goes with its event.
"""

from django.db import migrations

FREEZE = """
CREATE FUNCTION ring_log_frozen() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.made_by_id IS NULL
       AND to_jsonb(NEW) - 'made_by_id' = to_jsonb(OLD) - 'made_by_id' THEN
        RETURN NEW;
    END IF;
    RAISE EXCEPTION 'a line of the log never changes: write another one'
        USING ERRCODE = 'integrity_constraint_violation';
END
$$;
CREATE TRIGGER ring_log_frozen BEFORE UPDATE ON systems_ringentry
    FOR EACH ROW EXECUTE FUNCTION ring_log_frozen();
"""

THAW = """
DROP TRIGGER ring_log_frozen ON systems_ringentry;
DROP FUNCTION ring_log_frozen();
"""


class Migration(migrations.Migration):
    dependencies = [("systems", "0012_ringing")]

    operations = [migrations.RunSQL(FREEZE, THAW)]
