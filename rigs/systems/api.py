"""A door for other programs: a description in, its prediction out. Nothing is stored."""

import json
from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view, parser_classes
from rest_framework.exceptions import ParseError
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from calc.check import check, validate
from calc.serialise import system_from_plain, to_plain
from calc.system import SystemDescription

LARGEST_BODY = 1_000_000
MOST_POINTS = 100_000
MOST_POINTS_TIMES_BOXES = 2_000_000


class SmallJSONParser(BaseParser):
    """JSON up to `LARGEST_BODY` bytes; more is never read."""

    media_type = "application/json"

    def parse(self, stream: Any, media_type: Any = None, parser_context: Any = None) -> Any:
        body = stream.read(LARGEST_BODY + 1)
        if len(body) > LARGEST_BODY:
            raise ParseError(f"description: must be at most {LARGEST_BODY:,} bytes")
        try:
            return json.loads(body)
        except (ValueError, RecursionError):
            raise ParseError("description: is not JSON") from None


@extend_schema(
    summary="Check a system description",
    description=(
        "Send a SystemDescription (docs/system-description.md, as a packet's description.json "
        "has it); the answer is its Prediction. Nothing is stored. What is wrong comes as "
        "sentences, each with the place in the description."
    ),
    request=OpenApiTypes.OBJECT,
    responses={200: OpenApiTypes.OBJECT, 400: OpenApiTypes.OBJECT},
)
@api_view(["POST"])
@parser_classes([SmallJSONParser])
def check_description(request: Request) -> Response:
    """Check a description; faults are told as sentences (400)."""
    try:
        data = request.data
        system = system_from_plain(data)
    except ParseError as fault:
        return _refused([str(fault.detail)])
    except ValueError as fault:
        return _refused([str(fault)])
    faults = validate(system) or _too_large(system)
    if faults:
        return _refused(faults)
    return Response(to_plain(check(system)))


def _refused(sentences: list[str]) -> Response:
    return Response({"errors": sentences}, status=400)


def _too_large(system: SystemDescription) -> list[str]:
    """A web request must answer soon: refuse maps that would take minutes."""
    spacing = system.choices.grid_spacing_m
    points = 0.0
    for area in system.areas:
        xs, ys = [x for x, _ in area.corners], [y for _, y in area.corners]
        points += ((max(xs) - min(xs)) / spacing + 1) * ((max(ys) - min(ys)) / spacing + 1)
    most = min(MOST_POINTS, MOST_POINTS_TIMES_BOXES / max(len(system.placements), 1))
    if points <= most:
        return []
    return [
        f"choices.grid_spacing_m: the map would have {points:,.0f} points, here {most:,.0f} are "
        "the most for this many boxes. Choose a wider grid."
    ]
