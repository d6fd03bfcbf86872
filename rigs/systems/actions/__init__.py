"""Changes to a rig: each whole or not at all, each telling in a sentence why not."""

from rigs.systems.actions.aims import accept_aim, ask_for_aim
from rigs.systems.actions.alignments import (
    remove_alignment,
    remove_measured,
    remove_spot,
    save_alignment,
    save_measured,
    save_spot,
)
from rigs.systems.actions.decisions import (
    confirm_override,
    give_override,
    note_limiter,
    withdraw,
)
from rigs.systems.actions.lines import (
    MOST_LINKS,
    keep_what_if,
    remove_line,
    save_line,
    what_if_faults,
)
from rigs.systems.actions.mains import (
    remove_feed,
    remove_load,
    remove_support,
    save_feed,
    save_load,
    save_support,
    take_plan,
)
from rigs.systems.actions.parts import (
    place_row,
    place_several,
    remove_amplifier_place,
    remove_mixer_place,
    remove_placement,
    remove_processor_place,
    save_amplifier_place,
    save_choices,
    save_mixer_place,
    save_placement,
    save_processor_place,
)
from rigs.systems.actions.processing import change_outputs, go_back, revise, save_output
from rigs.systems.actions.ringing import (
    log_entry,
    place_notch,
    set_notches,
    set_up_ring_out,
    take_notch_off,
)
from rigs.systems.actions.stage import remove_microphone, save_microphone

__all__ = [
    "MOST_LINKS",
    "accept_aim",
    "ask_for_aim",
    "change_outputs",
    "confirm_override",
    "give_override",
    "go_back",
    "keep_what_if",
    "log_entry",
    "note_limiter",
    "place_notch",
    "place_row",
    "place_several",
    "remove_alignment",
    "remove_amplifier_place",
    "remove_feed",
    "remove_line",
    "remove_load",
    "remove_measured",
    "remove_microphone",
    "remove_mixer_place",
    "remove_placement",
    "remove_processor_place",
    "remove_spot",
    "remove_support",
    "revise",
    "save_alignment",
    "save_amplifier_place",
    "save_choices",
    "save_feed",
    "save_line",
    "save_load",
    "save_measured",
    "save_microphone",
    "save_mixer_place",
    "save_output",
    "save_placement",
    "save_processor_place",
    "save_spot",
    "save_support",
    "set_notches",
    "set_up_ring_out",
    "take_notch_off",
    "take_plan",
    "what_if_faults",
    "withdraw",
]
