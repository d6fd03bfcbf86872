"""What people decide about findings and limiters, each with a name and a time."""

from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils import timezone

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.people.rights import DESCRIBE_RIG
from rigs.systems.describe import Finding
from rigs.systems.faults import NotSaved, refuse
from rigs.systems.models import DriveLine, LimiterNote, Override
from rigs.systems.standing import stands_for


def give_override(
    event: Event, finding: Finding, person: Person, reason: str, expires_at: datetime | None = None
) -> Override:
    """Answer for a finding until the kit is back, or until earlier.

    Raises
    ------
    NotSaved
        Nothing to override, no reason, a time that has passed, or somebody did it already.
    """
    now = timezone.now()
    until = event.back_at if expires_at is None else min(expires_at, event.back_at)
    refuse(_faults(finding, reason, until, now))
    with transaction.atomic():
        Event.objects.select_for_update(no_key=True, of=("self",)).get(pk=event.pk)
        open_ones = Override.objects.filter(
            event=event,
            subject=finding.subject,
            check_key=finding.check,
            withdrawn_at__isnull=True,
        )
        for old in open_ones:
            if old.expires_at > now and stands_for(old, finding):
                raise NotSaved({"": [f"{old.person} has overridden this already."]})
        open_ones.update(withdrawn_at=now, withdrawn_by=person)
        return Override.objects.create(
            event=event,
            subject=finding.subject,
            check_key=finding.check,
            title=finding.title,
            value=finding.value,
            unit=finding.unit,
            state=finding.state,
            sentence=finding.sentence,
            person=person,
            reason=reason.strip(),
            at=now,
            expires_at=until,
        )


def _faults(finding: Finding, reason: str, until: datetime, now: datetime) -> dict[str, list[str]]:
    faults: dict[str, list[str]] = {}
    if finding.state == "holds":
        faults[""] = ["This holds: there is nothing to override."]
    if not reason.strip():
        faults["reason"] = ["Say why it is right here: whoever reads it on site must understand."]
    if until <= now:
        faults["expires_at"] = ["This time has passed: an override cannot end before it begins."]
    return faults


def confirm_override(override: Override, finding: Finding | None, person: Person) -> Override:
    """Be the second person: a different one, who may describe rigs, for the same figures."""
    with transaction.atomic():
        stored = Override.objects.select_for_update(of=("self",)).get(pk=override.pk)
        refuse(_confirm_faults(stored, finding, person))
        stored.second_person, stored.second_at = person, timezone.now()
        try:
            with transaction.atomic():
                stored.save(update_fields=["second_person", "second_at"])
        except IntegrityError as refusal:
            raise NotSaved({"": ["The second person must be somebody else."]}) from refusal
    return stored


def _confirm_faults(
    stored: Override, finding: Finding | None, person: Person
) -> dict[str, list[str]]:
    sentence = ""
    if not person.has_perm(DESCRIBE_RIG):
        sentence = "Only somebody who may describe rigs can be the second person."
    elif stored.withdrawn_at:
        sentence = "This override was withdrawn meanwhile."
    elif stored.second_person_id:
        sentence = f"{stored.second_person} has confirmed this already."
    elif stored.person_id == person.pk:
        sentence = "You gave this override: a second, different person must confirm it."
    elif stored.expires_at <= timezone.now():
        sentence = "This override has expired."
    elif not stands_for(stored, finding):
        sentence = "The rig has changed since this override was given: it is void."
    return {"": [sentence]} if sentence else {}


def withdraw(override: Override, person: Person) -> None:
    """End an override now. One that was withdrawn already stays as it is."""
    Override.objects.filter(pk=override.pk, withdrawn_at__isnull=True).update(
        withdrawn_at=timezone.now(), withdrawn_by=person
    )


def note_limiter(
    line: DriveLine,
    person: Person,
    *,
    rms_dbu: float,
    peak_dbu: float | None,
    inputs: object,
    made_for: str,
) -> LimiterNote:
    """Keep that these thresholds are set at the processor now."""
    note, _ = LimiterNote.objects.update_or_create(
        line=line,
        defaults={
            "rms_dbu": rms_dbu,
            "peak_dbu": peak_dbu,
            "inputs": inputs,
            "made_for": made_for,
            "person": person,
            "at": timezone.now(),
        },
    )
    return note
