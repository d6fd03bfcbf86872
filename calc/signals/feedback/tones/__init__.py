"""Hearing feedback come up: tones that grow, last and stay where they are."""

from calc.signals.feedback.tones.listener import Listener, Tone, listen
from calc.signals.feedback.tones.now import standing_now

__all__ = ["Listener", "Tone", "listen", "standing_now"]
