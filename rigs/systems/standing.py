"""Which overrides stand: shown beside their findings, changing neither figure nor state."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from rigs.events.clocks import said_time
from rigs.people.models import Person
from rigs.systems.describe import Finding
from rigs.systems.models import Override
from rigs.systems.pictures.figures import in_words

IN_FORCE, WAITING, EXPIRED, VOID = "in force", "waiting", "expired", "void"
Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Shown:
    """An override as it is read: `word` is one of the four above."""

    override: Override
    word: str
    sentence: str
    may_confirm: bool = False

    @property
    def answered(self) -> bool:
        """Whether nobody needs to give another one."""
        return self.word in (IN_FORCE, WAITING)


def stands_for(override: Override, finding: Finding | None) -> bool:
    """Whether the finding still says what the override was given for."""
    return finding is not None and (finding.value, finding.state, finding.sentence) == (
        override.value,
        override.state,
        override.sentence,
    )


def shown_overrides(
    overrides: Iterable[Override],
    findings: Iterable[Finding],
    *,
    now: datetime,
    zone: ZoneInfo,
    viewer: Person,
    may_change: bool,
) -> dict[Key, Shown]:
    """Each override by the subject and check of its finding."""
    found = {(finding.subject, finding.check): finding for finding in reversed(list(findings))}
    shown = {}
    for override in overrides:
        key = override.subject, override.check_key
        word = _word(override, found.get(key), now)
        may = may_change and word == WAITING and override.person_id != viewer.pk
        sentence = _sentence(override, word, found.get(key), zone)
        shown[key] = Shown(override, word, sentence, may)
    return shown


def _word(override: Override, finding: Finding | None, now: datetime) -> str:
    if not stands_for(override, finding):
        return VOID
    if override.expires_at <= now:
        return EXPIRED
    if override.needs_second and override.second_person_id is None:
        return WAITING
    return IN_FORCE


def _sentence(override: Override, word: str, finding: Finding | None, zone: ZoneInfo) -> str:
    until = said_time(override.expires_at.astimezone(zone))
    names = str(override.person)
    if override.second_person:
        names += f" and {override.second_person}"
    reason = override.reason.rstrip(". ")
    if word == IN_FORCE:
        return f"Overridden by {names} until {until}: {reason}."
    if word == WAITING:
        return (
            f"{names} wants to override this until {until}: {reason}. It is not in force before "
            "a second person confirms it."
        )
    if word == EXPIRED:
        return f"The override by {names} expired on {until}: {reason}."
    return f"The override by {names} is void: {_change(override, finding)}"


def _change(override: Override, finding: Finding | None) -> str:
    then = in_words(override.value, override.unit)
    if finding is None:
        return f"it was given for {then} ({override.state}), which is not found any more."
    now = in_words(finding.value, finding.unit)
    if (then, override.state) == (now, finding.state):
        return f"it was given for “{override.sentence}”"
    return f"it was given for {then} ({override.state}); now it is {now} ({finding.state})."
