"""From what people type to the actions, and back to sentences by the field."""

from rigs.events.forms.event import EventForm
from rigs.events.forms.kit import KitForm
from rigs.events.forms.row import RowForm

__all__ = ["EventForm", "KitForm", "RowForm"]
