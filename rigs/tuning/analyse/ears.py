"""Listeners between the parts of what a phone sends: each answer names the ear that goes on.

Every answer has an ear of its own, so that where one gets lost the one before it goes on.
"""

import uuid

from django.core.cache import cache

from calc.signals.feedback.tones import Listener

KEPT_S = 10
"""An ear that hears nothing more for so long is put out of mind."""


def listener_at(ear: str, whose: int, rate_hz: int) -> Listener:
    """As it was when it was put away; a new one where that is forgotten, or somebody else's."""
    found: Listener | None = cache.get(_key(ear, whose, rate_hz)) if ear else None
    return found or Listener(rate_hz)


def put_away(listener: Listener, whose: int, rate_hz: int) -> str:
    """Remember it for a while; the ear to go on with."""
    ear = uuid.uuid4().hex
    cache.set(_key(ear, whose, rate_hz), listener, KEPT_S)
    return ear


def _key(ear: str, whose: int, rate_hz: int) -> str:
    return f"listening:{whose}:{rate_hz}:{ear}"
