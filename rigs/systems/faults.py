"""What is wrong with a part of a rig, in sentences by field."""

from collections.abc import Callable, Collection
from functools import partial
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, models
from django.forms import BaseForm

from rigs.systems import queries
from rigs.systems.models import DriveLine, Link

Faults = dict[str, list[str]]

# The field that a person would change to mend what the constraint forbids.
FIELD_OF_CONSTRAINT = {
    "amplifier_place_once": "name",
    "processor_place_once": "name",
    "placement_once": "name",
    "drive_line_once": "name",
    "amplifier_unit_once": "unit",
    "processor_unit_once": "unit",
    "placement_unit_once": "unit",
    "channel_used_once": "first_channel",
    "level_control_believable": "level_control_db",
    "way_driven_once": "links",
    "support_once": "name",
    "hang_point_once": "hang_point",
    "kit_on_one_truck": "carries_kit",
    "only_hang_points_hang": "hang_point",
    "only_stands_have_a_type": "accessory",
    "only_trucks_carry_kit": "carries_kit",
    "extra_load_once": "name",
    "rack_fed_once": "rack",
    "amplifier_fed_once": "amplifier_place",
    "feed_of_a_rack_or_an_amplifier": "load",
    "cable_or_figures": "cable",
    "mixer_or_figures": "mixer",
    "line_programme_has_name_and_reason": "limiter_basis_reason",
    "rig_programme_has_name_and_reason": "limiter_basis_reason",
    "only_passes_have_a_family": "family",
    "passes_have_a_family": "family",
    "linkwitz_riley_is_even": "order",
    "order_1_to_8": "order",
    "all_pass_order_1_or_2": "order",
    "only_peaks_and_shelves_have_gain": "gain_db",
    "peaks_and_notches_have_a_q": "q",
    "one_pass_of_a_kind": "kind",
    "spot_once": "name",
    "stage_microphone_once": "name",
    "alignment_once": "name",
    "measured_once": "line",
    "recording_has_a_spot": "spot",
    "recording_at_one_place": "microphone",
    "reference_channel_is_there": "reference_channel",
    "recording_once": "sound",
    "target_once": "name",
    "reserve_within_notches": "reserve",
    "ring_notch_once": "frequency_hz",
}


class NotSaved(ValueError):
    """Refused: `faults` maps fields to sentences; "" stands for the row as a whole."""

    def __init__(self, faults: Faults) -> None:
        super().__init__(" ".join(s for sentences in faults.values() for s in sentences))
        self.faults = faults


def put_by_field(form: BaseForm, faults: Faults) -> None:
    """Put each sentence by its field of a form, or on top where there is none."""
    for field, sentences in faults.items():
        for sentence in sentences:
            form.add_error(field if field in form.fields else None, sentence)


def refuse(faults: Faults) -> None:
    """Raise `NotSaved` if there is anything to say."""
    if faults:
        raise NotSaved(faults)


def faults_of(row: models.Model, only: Collection[str] = ()) -> Faults:
    """Every fault of a row: its fields, its own rules, its constraints.

    With `only`, other fields are taken as they are stored: fewer reads.
    """
    faults: Faults = {}
    trusted = {f.name for f in row._meta.fields if f.name not in only} if only else set()
    _gather(faults, partial(row.clean_fields, exclude=trusted))
    if not faults:
        _gather(faults, row.clean)
    if faults:
        return faults
    for constraint in row._meta.constraints:
        field = FIELD_OF_CONSTRAINT.get(constraint.name, "")
        _gather(faults, partial(constraint.validate, type(row), row, exclude=trusted), field)
    if "first_channel" in faults and isinstance(row, DriveLine):
        faults["first_channel"] = channel_faults(row) or faults["first_channel"]
    return faults


def channel_faults(line: DriveLine) -> list[str]:
    """Name the lines that use a channel which this line wants."""
    return [
        f"{other} uses channel {_channels(other)} of {line.amplifier_place} already. "
        "Choose a free channel."
        for other in queries.lines_on_channels(line)
    ]


def _channels(line: DriveLine) -> str:
    first = line.first_channel
    return f"{first}" if line.width == 1 else f"{first} and {first + 1}"


def way_fault(link: Link, other: DriveLine) -> str:
    """Say that another line drives this way of this box."""
    return f"{other} drives {link.placement} '{link.way}' already. Take it off that line first."


def from_database(error: IntegrityError, row: models.Model) -> Faults:
    """What the database refused, as the constraint's sentence by its field."""
    diagnosis = getattr(error.__cause__, "diag", None)
    name = getattr(diagnosis, "constraint_name", None) or ""
    for model in (type(row), Link):
        for constraint in model._meta.constraints:
            if constraint.name == name:
                sentence = str(constraint.violation_error_message)
                return {FIELD_OF_CONSTRAINT.get(name, ""): [sentence]}
    return {
        "": [
            "Somebody removed something that this needs while you had the page open. "
            "Choose again from what is there now."
        ]
    }


def field_of_sentence(model: type[models.Model], sentence: str) -> str:
    """The field that a person would change where a constraint of `model` says this."""
    for constraint in model._meta.constraints:
        if str(constraint.violation_error_message) == sentence:
            return FIELD_OF_CONSTRAINT.get(constraint.name, "")
    return ""


def _gather(faults: Faults, check: Callable[[], Any], field: str = "") -> None:
    try:
        check()
    except ValidationError as error:
        by_field = error.message_dict if hasattr(error, "error_dict") else {"": error.messages}
        for name, sentences in by_field.items():
            named = field or ("" if name == NON_FIELD_ERRORS else name)
            faults.setdefault(named, []).extend(sentences)
