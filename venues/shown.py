"""The drawings of a stored space, with the row that is being edited among the others."""

from dataclasses import dataclass

from django.db import models
from django.utils.safestring import SafeString

from venues.models import AudienceArea, HangPoint, ListeningPlace, Space
from venues.pictures import Mark, Outline, plan, section
from venues.polygons import polygon_fault


@dataclass(frozen=True, slots=True)
class Drawings:
    """Plan and section."""

    plan: SafeString
    section: SafeString


def drawings_of(space: Space, edited: models.Model | None = None) -> Drawings | None:
    """Both drawings; None while nothing is there to draw."""
    areas = [_outline(row, edited) for row in _with(space.areas.all(), edited, AudienceArea)]
    marks = [
        _mark(row, edited)
        for kind, rows in ((HangPoint, space.hang_points), (ListeningPlace, space.places))
        for row in _with(rows.all(), edited, kind)
    ]
    if not areas and not marks:
        return None
    areas.sort(key=lambda area: (area.edited, area.floor_z_m))
    parts = (str(space), areas, marks, edited is not None)
    return Drawings(plan(*parts), section(*parts))


def _with(rows: models.QuerySet, edited: models.Model | None, kind: type) -> list:
    """The stored rows; in place of the edited one, or behind them, as it stands in the form."""
    if edited is None or not isinstance(edited, kind):
        return list(rows)
    return [*(row for row in rows if row.pk != edited.pk), edited]


def _outline(area: AudienceArea, edited: models.Model | None) -> Outline:
    usable = not polygon_fault(area.corners)
    return Outline(
        name=area.name,
        corners=[(float(x), float(y)) for x, y in area.corners] if usable else [],
        floor_z_m=area.floor_z_m or 0.0,
        rake_deg=area.rake_deg or 0.0,
        rake_azimuth_deg=area.rake_azimuth_deg or 0.0,
        ear_height_m=area.ear_height_m or 0.0,
        kind=area.kind,
        edited=area is edited,
    )


def _mark(row: HangPoint | ListeningPlace, edited: models.Model | None) -> Mark:
    kind = "hang point" if isinstance(row, HangPoint) else "place"
    at = (row.x_m or 0.0, row.y_m or 0.0)  # nothing yet while a new one is typed
    return Mark(row.name, at, row.z_m or 0.0, kind, row is edited)
