"""Named reads of venues."""

from django.db.models import Count, QuerySet

from venues.models import Space, Venue


def listed_venues(search: str = "") -> QuerySet[Venue]:
    """Venues with how many spaces and areas they have, in one query."""
    venues = Venue.objects.annotate(
        space_count=Count("spaces", distinct=True),
        area_count=Count("spaces__areas", distinct=True),
    )
    for word in search.split():
        venues = venues.filter(name__icontains=word) | venues.filter(town__icontains=word)
    return venues.order_by("name")


def spaces_of(venue: Venue) -> QuerySet[Space]:
    """A venue's spaces with all that belongs to them, in a constant number of queries."""
    return venue.spaces.prefetch_related(
        "areas", "places", "surfaces", "supplies", "circuits__supply", "hang_points"
    )
