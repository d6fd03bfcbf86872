"""Seventeen events around today, in the order of their shows."""

from rigs.demo.data.events.ahead import AHEAD
from rigs.demo.data.events.clash import FOUNDRY, REGATTA
from rigs.demo.data.events.faults import UNDERTOW
from rigs.demo.data.events.gala import GALA
from rigs.demo.data.events.past import PAST_AND_NOW

EVENTS = tuple(
    sorted((*PAST_AND_NOW, GALA, UNDERTOW, FOUNDRY, REGATTA, *AHEAD), key=lambda plan: plan.day)
)
