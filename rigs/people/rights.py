"""Roles and what each may do: one table, read by the sign-in, the pages and the tests.

A right is a Django permission, so `user.has_perm`, `permission_required` and `perms` in
templates all work as anywhere else.
"""

BUILD_KIT = "events.build_kit"
PLAN_EVENT = "events.plan_event"
DESCRIBE_RIG = "systems.describe_rig"
REQUEST_PACKET = "packets.request_packet"
SEE_PACKETS = "packets.see_packets"
TICK = "packets.tick"
SEE_LOADING = "systems.see_loading"
MEASURE = "tuning.measure"
KEEP_STOCK = "stock.keep_stock"
KEEP_CATALOGUE = "catalogue.keep_catalogue"
KEEP_VENUES = "venues.keep_venues"

WORDS = {
    BUILD_KIT: "build kit lists",
    PLAN_EVENT: "plan events",
    DESCRIBE_RIG: "describe rigs",
    REQUEST_PACKET: "ask for tuning packets",
    SEE_PACKETS: "see tuning packets",
    TICK: "tick settings as seen on site",
    SEE_LOADING: "see amplifier loading",
    MEASURE: "measure and equalise",
    KEEP_STOCK: "keep the stock",
    KEEP_CATALOGUE: "keep the catalogue",
    KEEP_VENUES: "keep venues",
}
"""Each right as it stands in a sentence: you may not ..."""

WAREHOUSE = "warehouse"
SYSTEM_TECH = "system tech"
MANAGER = "manager"
CREW = "crew"
ADMINISTRATOR = "administrator"

RIGHTS: dict[str, tuple[str, ...]] = {
    WAREHOUSE: (SEE_PACKETS, BUILD_KIT, KEEP_STOCK, KEEP_CATALOGUE),
    SYSTEM_TECH: (
        SEE_PACKETS,
        BUILD_KIT,
        DESCRIBE_RIG,
        REQUEST_PACKET,
        TICK,
        MEASURE,
        KEEP_VENUES,
        KEEP_CATALOGUE,
        SEE_LOADING,
    ),
    MANAGER: (
        SEE_PACKETS,
        PLAN_EVENT,
        BUILD_KIT,
        DESCRIBE_RIG,
        REQUEST_PACKET,
        SEE_LOADING,
        KEEP_VENUES,
    ),
    CREW: (SEE_PACKETS,),
    ADMINISTRATOR: (
        SEE_PACKETS,
        PLAN_EVENT,
        BUILD_KIT,
        DESCRIBE_RIG,
        REQUEST_PACKET,
        TICK,
        MEASURE,
        SEE_LOADING,
        KEEP_STOCK,
        KEEP_CATALOGUE,
        KEEP_VENUES,
    ),
}
