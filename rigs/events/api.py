"""Events and what is free, for other programs. Read only."""

from typing import Any

from drf_spectacular.utils import OpenApiParameter, extend_schema, inline_serializer
from rest_framework import serializers
from rest_framework.exceptions import NotFound, ValidationError
from rest_framework.generics import ListAPIView
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from rigs.catalogue.models import Item
from rigs.events.models import Event
from rigs.events.queries import booking_period, holders, stock_figures
from rigs.people.rights import SEE_PACKETS


class MaySee(BasePermission):
    message = "This needs the right to see tuning packets."

    def has_permission(self, request: Request, view: Any) -> bool:
        return request.user.has_perm(SEE_PACKETS)


class EventSerializer(serializers.ModelSerializer):
    """Times are UTC; `zone` is the venue's."""

    space = serializers.CharField(source="space.name")
    venue = serializers.CharField(source="space.venue.name")
    zone = serializers.CharField(source="space.venue.zone")

    class Meta:
        model = Event
        fields = (
            "id",
            "name",
            "state",
            "venue",
            "space",
            "zone",
            "out_at",
            "load_in_at",
            "show_from",
            "show_until",
            "back_at",
            "audience",
        )


class EventList(ListAPIView):
    """All events, by the time their kit leaves."""

    permission_classes = [MaySee]
    serializer_class = EventSerializer
    queryset = Event.objects.select_related("space__venue").order_by("out_at", "pk")


class HolderSerializer(serializers.Serializer):
    event = serializers.CharField()
    event_id = serializers.IntegerField()
    quantity = serializers.IntegerField()
    held_from = serializers.DateTimeField()
    held_until = serializers.DateTimeField()


class Availability(APIView):
    """How many pieces of an item are free through an event's time, and who has the others."""

    permission_classes = [MaySee]

    @extend_schema(
        parameters=[OpenApiParameter("item", int, required=True, description="Id of the item.")],
        responses=inline_serializer(
            "Availability",
            {
                "event": serializers.IntegerField(),
                "item": serializers.IntegerField(),
                "name": serializers.CharField(),
                "owned": serializers.IntegerField(),
                "usable": serializers.IntegerField(),
                "free": serializers.IntegerField(),
                "promised_to": HolderSerializer(many=True),
            },
        ),
    )
    def get(self, request: Request, event_id: int) -> Response:
        event = Event.objects.filter(pk=event_id).first()
        if event is None:
            raise NotFound("There is no such event.")
        item = _item(request.query_params.get("item", ""))
        stock = stock_figures(event, [item])[item.pk]
        held = holders([item], booking_period(event, item)).get(item.pk, [])
        return Response(
            {
                "event": event.pk,
                "item": item.pk,
                "name": str(item),
                "owned": stock.owned,
                "usable": stock.usable,
                "free": stock.free,
                "promised_to": HolderSerializer(
                    [
                        {
                            "event": str(h.event),
                            "event_id": h.event.pk,
                            "quantity": h.quantity,
                            "held_from": h.period.start,
                            "held_until": h.period.end,
                        }
                        for h in held
                    ],
                    many=True,
                ).data,
            }
        )


def _item(text: str) -> Item:
    if not text.isdigit():
        raise ValidationError({"item": "Give the id of an item: ?item=12"})
    item = Item.objects.filter(pk=text).first()
    if item is None:
        raise NotFound("There is no such item.")
    return item
