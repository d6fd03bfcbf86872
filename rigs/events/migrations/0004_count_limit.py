"""The database refuses to promise more pieces of a counted item than are usable.

Both triggers raise check_violation (SQLSTATE 23514) with the constraint name `count_limit`.
Every booking locks the one `stock_count` row of its item until its transaction ends, so
concurrent bookings of an item follow one another. Whoever touches several items in one
transaction does so in the order of their ids (`stock.locks`), hence no deadlock.
"""

from django.db import migrations

# The row is locked by updating it to what it is: unlike SELECT FOR UPDATE this also makes a
# transaction with an older snapshot (repeatable read) fail instead of counting what it can't see.
CREATE = """
CREATE FUNCTION refuse_above_count(of_item bigint, usable bigint, during tstzrange)
RETURNS void LANGUAGE plpgsql AS $$
DECLARE
    peak bigint := promised_peak(of_item, during);
BEGIN
    IF peak > usable THEN
        RAISE EXCEPTION 'item %: % pieces promised at once, % usable', of_item, peak, usable
            USING ERRCODE = 'check_violation', CONSTRAINT = 'count_limit',
                  TABLE = 'events_countbooking';
    END IF;
END
$$;

CREATE FUNCTION count_booking_within_limit() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    usable bigint;
BEGIN
    UPDATE stock_count SET owned = owned WHERE item_id = NEW.item_id
        RETURNING owned - set_aside INTO usable;
    PERFORM refuse_above_count(NEW.item_id, coalesce(usable, 0), NEW.period);
    RETURN NULL;
END
$$;

CREATE TRIGGER count_limit AFTER INSERT OR UPDATE OF item_id, quantity, period
    ON events_countbooking FOR EACH ROW EXECUTE FUNCTION count_booking_within_limit();

CREATE FUNCTION stock_count_covers_bookings() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    usable bigint;
BEGIN
    SELECT owned - set_aside INTO usable FROM stock_count WHERE item_id = OLD.item_id;
    PERFORM refuse_above_count(
        OLD.item_id, coalesce(usable, 0), tstzrange(clock_timestamp(), NULL)
    );
    RETURN NULL;
END
$$;

CREATE TRIGGER count_covers_lowered AFTER UPDATE ON stock_count FOR EACH ROW
    WHEN (NEW.owned - NEW.set_aside < OLD.owned - OLD.set_aside OR NEW.item_id <> OLD.item_id)
    EXECUTE FUNCTION stock_count_covers_bookings();

CREATE TRIGGER count_covers_deleted AFTER DELETE ON stock_count FOR EACH ROW
    EXECUTE FUNCTION stock_count_covers_bookings();
"""

DROP = """
DROP TRIGGER count_covers_deleted ON stock_count;
DROP TRIGGER count_covers_lowered ON stock_count;
DROP FUNCTION stock_count_covers_bookings();
DROP TRIGGER count_limit ON events_countbooking;
DROP FUNCTION count_booking_within_limit();
DROP FUNCTION refuse_above_count(bigint, bigint, tstzrange);
"""


class Migration(migrations.Migration):

    dependencies = [
        ("events", "0003_promised_peak"),
    ]

    operations = [
        migrations.RunSQL(CREATE, DROP),
    ]
