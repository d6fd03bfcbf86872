"""What a packet keeps of its event beside the rig: the kit list, the place and the times."""

from typing import Any

from rigs.events.completion import Lift, picked_from, truck_load
from rigs.events.models import Event, KitRow
from rigs.events.queries import connection_gaps, kit_rows
from rigs.systems.rung import ringing

TIMES = {
    "out_at": "Kit leaves",
    "load_in_at": "Load-in",
    "show_from": "Show starts",
    "show_until": "Show ends",
    "back_at": "Kit back",
}


def freeze_kit(event: Event) -> dict[str, Any]:
    """The kit list as plain JSON, in the order of place and name, with what it amounts to."""
    rows = sorted(kit_rows(event), key=_order)
    load = truck_load(rows)
    return {
        "rows": [_row(row) for row in rows],
        "pieces": load.pieces,
        "mass_kg": load.known_kg,
        "unknown_mass": load.unknown_mass,
        "unknown": load.unknown_words,
        "heavy": [_lift(lift) for lift in load.heavy],
        "cable_m": dict(sorted(load.metres.items())),
        "unknown_length": load.unknown_length,
        "missing": [gap.sentence for gap in connection_gaps(picked_from(rows))],
    }


def _lift(lift: Lift) -> dict[str, Any]:
    """What more than one person should lift: a piece, or a rack with what sits in it."""
    return {
        "name": lift.name,
        "mass_kg": lift.mass_kg,
        "pieces": lift.pieces,
        "at_least": lift.at_least,
    }


def freeze_about(event: Event) -> dict[str, Any]:
    """Event, place and times as plain JSON; times in UTC."""
    return {
        "event": event.name,
        "venue": event.space.venue.name,
        "space": event.space.name,
        "zone": event.space.venue.zone,
        "contact": event.contact,
        "notes": event.notes,
        "times": {field: getattr(event, field).isoformat() for field in TIMES},
        "ringing": _ringing(event),
    }


def _ringing(event: Event) -> dict[str, Any]:
    """The ring-out's notches and log as plain JSON; empty where nothing was done."""
    found = ringing(event)
    if found.ring_out is None and not found.entries:
        return {}
    return {
        "where": str(found.ring_out.processor_place) if found.ring_out else "",
        "outputs": sorted(found.ring_out.outputs) if found.ring_out else [],
        "material": found.ring_out.material if found.ring_out else "",
        "in_reserve": found.in_reserve,
        "notches": [
            {
                "frequency_hz": one.frequency_hz, "gain_db": one.gain_db, "q": one.q,
                "microphone": str(one.microphone or ""), "from_reserve": one.from_reserve,
                "revision": one.revision.number if one.revision else None,
            }
            for one in found.notches
        ],
        "log": [
            {
                "microphone": one.microphone, "ended": one.get_ended_display(),
                "level_db": one.level_db, "margin_db": one.margin_db,
                "frequency_hz": one.frequency_hz, "note": one.note,
                "who": str(one.made_by or ""), "at": one.made_at.isoformat(),
            }
            for one in found.entries
        ],
    }  # fmt: skip


def _order(row: KitRow) -> tuple[int, str]:
    return (KitRow.Place.values.index(row.place), str(row.item))


def _row(row: KitRow) -> dict[str, Any]:
    return {
        "place": row.place,
        "kind": row.item.kind,
        "item": str(row.item),
        "quantity": row.quantity,
        "units": sorted(booking.unit.serial for booking in row.unit_bookings.all()),
        "why": row.why,
        "mass_kg": row.item.mass_kg,
    }


def kit_differences(old: dict[str, Any], new: dict[str, Any]) -> list[str]:
    """What changed on the kit list, in sentences."""
    before = {(row["place"], row["item"]): row for row in old["rows"]}
    after = {(row["place"], row["item"]): row for row in new["rows"]}
    found = [f"Kit: {_words(row)} taken off." for key, row in before.items() if key not in after]
    found += [f"Kit: {_words(row)} added." for key, row in after.items() if key not in before]
    for key in before:
        if key in after:
            found += _row_differences(before[key], after[key])
    if not found and old["missing"] != new["missing"]:
        found.append("Kit: what is missing to connect it all changed.")
    return found


def about_differences(old: dict[str, Any], new: dict[str, Any]) -> list[str]:
    """What changed about the event's place and times, in sentences."""
    found = [
        f"The event's {field} changed."
        for field in ("venue", "zone", "contact", "notes")
        if old[field] != new[field]
    ]
    found += [
        f"{label} changed."
        for field, label in TIMES.items()
        if old["times"][field] != new["times"][field]
    ]
    if old.get("ringing", {}) != new["ringing"]:
        found.append("The ring-out's notches or log changed.")
    return found


def _words(row: dict[str, Any]) -> str:
    return f"{row['quantity']} x {row['item']} ({row['place']})"


def _row_differences(old: dict[str, Any], new: dict[str, Any]) -> list[str]:
    name = f"Kit: {new['item']} ({new['place']})"
    found = []
    if old["quantity"] != new["quantity"]:
        found.append(f"{name}: {old['quantity']} became {new['quantity']}.")
    if old["units"] != new["units"]:
        units = ", ".join(new["units"]) or "any"
        found.append(f"{name}: the units are now {units}.")
    if not found and old != new:
        found.append(f"{name} changed.")
    return found
