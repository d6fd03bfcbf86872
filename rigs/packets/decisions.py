"""Overrides as a packet keeps them: as they were when it was asked for, plain JSON."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from rigs.events.clocks import said_time
from rigs.events.models import Event
from rigs.packets.compute import Finding
from rigs.systems.models import Override
from rigs.systems.queries import open_overrides
from rigs.systems.standing import EXPIRED, IN_FORCE, VOID, WAITING, stands_for

GIVEN_FOR = ("value", "state", "sentence")


@dataclass(frozen=True, slots=True)
class Decided:
    """One frozen override, judged: `word` is one of in force, waiting, expired, void."""

    override: dict[str, Any]
    word: str
    sentence: str

    @property
    def about(self) -> tuple[str, str]:
        """Subject and check of the finding."""
        return self.override["subject"], self.override["check"]


def freeze_overrides(event: Event) -> list[dict[str, Any]]:
    """Every override that nobody has withdrawn, with names; times in UTC."""
    return [_frozen(override) for override in open_overrides(event)]


def _frozen(override: Override) -> dict[str, Any]:
    second = override.second_person
    return {
        "subject": override.subject,
        "check": override.check_key,
        "title": override.title,
        "unit": override.unit,
        **{field: getattr(override, field) for field in GIVEN_FOR},
        "person": str(override.person),
        "reason": override.reason,
        "given_at": override.at.isoformat(),
        "until": override.expires_at.isoformat(),
        "needs_second": override.needs_second,
        "second_person": str(second) if second else "",
        "second_at": override.second_at.isoformat() if override.second_at else "",
    }


def judged(
    frozen: Iterable[dict[str, Any]], findings: Iterable[Finding], now: datetime, zone: ZoneInfo
) -> list[Decided]:
    """Which of the frozen overrides stand for what was found."""
    found = {(one.subject, one.check): one for one in reversed(list(findings))}
    decided = []
    for override in frozen:
        finding = found.get((override["subject"], override["check"]))
        word = _word(override, finding, now)
        decided.append(Decided(override, word, _sentence(override, word, zone)))
    return decided


def _word(override: dict[str, Any], finding: Finding | None, now: datetime) -> str:
    if not stands_for(Override(**{field: override[field] for field in GIVEN_FOR}), finding):
        return VOID
    if has_expired(override, now):
        return EXPIRED
    return WAITING if override["needs_second"] and not override["second_person"] else IN_FORCE


def has_expired(override: dict[str, Any], now: datetime) -> bool:
    """Whether its time is over."""
    return datetime.fromisoformat(override["until"]) <= now


def _sentence(override: dict[str, Any], word: str, zone: ZoneInfo) -> str:
    """Who, since when, until when and why, in the venue's time; what does not stand says so."""
    names = " and ".join(filter(None, (override["person"], override["second_person"])))
    given, until = (
        said_time(datetime.fromisoformat(override[field]).astimezone(zone))
        for field in ("given_at", "until")
    )
    reason = override["reason"].rstrip(". ")
    if word == VOID:
        return (
            f"Void: {names} gave an override on {given}, but for another finding: "
            f"“{override['sentence']}”"
        )
    if word == EXPIRED:
        return f"Expired on {until}: the override by {names}: {reason}."
    if word == WAITING:
        return (
            f"Not in force: {names} asked on {given} to override this until {until}: {reason}. "
            "A second person has not confirmed it."
        )
    return f"Overridden by {names} on {given}, until {until}: {reason}."


def override_differences(old: Sequence[dict[str, Any]], new: Sequence[dict[str, Any]]) -> list[str]:
    """What changed about overrides, in sentences."""
    before = {(one["subject"], one["check"]): one for one in old}
    after = {(one["subject"], one["check"]): one for one in new}
    found = [f"{_name(one)} withdrawn." for key, one in before.items() if key not in after]
    found += [f"{_name(one)} given." for key, one in after.items() if key not in before]
    for key, one in after.items():
        earlier = before.get(key)
        if earlier and earlier != one:
            confirmed = one["second_person"] and earlier["given_at"] == one["given_at"]
            found.append(f"{_name(one)} {'confirmed' if confirmed else 'given anew'}.")
    return found


def _name(override: dict[str, Any]) -> str:
    return f"Override of {override['title']}, {override['subject']}:"
