"""Data sheets as people type them."""

from rigs.catalogue.forms.kinds import FORM_OF_KIND
from rigs.catalogue.forms.lists import item_lists, with_one_more_row

__all__ = ["FORM_OF_KIND", "item_lists", "with_one_more_row"]
