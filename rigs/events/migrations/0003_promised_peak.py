"""How many pieces of an item are promised at the busiest instant of a period.

One function for both kinds of booking, used by the trigger of `count_limit` and by
`queries.free_counts`, so that what a page offers and what the database allows can't differ.
"""

from django.db import migrations

# The promised number changes only where a booking starts or ends. Changes at the same instant
# are added up first: periods are half-open, so a piece that is back at 12:00 can leave at 12:00.
CREATE = """
CREATE FUNCTION promised_peak(of_item bigint, during tstzrange) RETURNS bigint
LANGUAGE sql STABLE AS $$
    WITH overlapping AS (
        SELECT greatest(lower(b.period), lower(during)) AS starts, upper(b.period) AS ends,
               b.quantity::bigint AS pieces
        FROM events_countbooking b
        WHERE b.item_id = of_item AND b.period && during
        UNION ALL
        SELECT greatest(lower(b.period), lower(during)), upper(b.period), 1
        FROM events_unitbooking b JOIN stock_unit u ON u.id = b.unit_id
        WHERE u.item_id = of_item AND b.period && during
    ), steps AS (
        SELECT at, sum(change) AS change
        FROM (
            SELECT starts AS at, pieces AS change FROM overlapping
            UNION ALL
            SELECT ends, -pieces FROM overlapping
        ) AS edges
        GROUP BY at
    )
    SELECT coalesce(max(promised), 0)::bigint
    FROM (SELECT sum(change) OVER (ORDER BY at) AS promised FROM steps) AS running
$$;
"""


class Migration(migrations.Migration):

    dependencies = [
        ("events", "0002_initial"),
        ("stock", "0001_initial"),
    ]

    operations = [
        migrations.RunSQL(CREATE, "DROP FUNCTION promised_peak(bigint, tstzrange);"),
    ]
