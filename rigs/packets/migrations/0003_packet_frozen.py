"""A packet that is made never changes: the database itself refuses.

Deleting is still possible, so that an event can go with all that hangs on it. Who asked may
become unknown when an account is deleted.
"""

from django.db import migrations

FREEZE = """
CREATE FUNCTION packet_frozen() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF OLD.made_at IS NOT NULL AND (
        NEW.event_id, NEW.number, NEW.run_id, NEW.about, NEW.kit, NEW.sections, NEW.pictures,
        NEW.asked_at, NEW.made_at
    ) IS DISTINCT FROM (
        OLD.event_id, OLD.number, OLD.run_id, OLD.about, OLD.kit, OLD.sections, OLD.pictures,
        OLD.asked_at, OLD.made_at
    ) THEN
        RAISE EXCEPTION 'packet % is made and never changes', OLD.id
            USING ERRCODE = 'integrity_constraint_violation';
    END IF;
    RETURN NEW;
END
$$;
CREATE TRIGGER packet_frozen BEFORE UPDATE ON packets_packet
    FOR EACH ROW EXECUTE FUNCTION packet_frozen();
"""

THAW = """
DROP TRIGGER packet_frozen ON packets_packet;
DROP FUNCTION packet_frozen();
"""


class Migration(migrations.Migration):
    dependencies = [("packets", "0002_initial")]

    operations = [migrations.RunSQL(FREEZE, THAW)]
