"""Packets for other programs: read only."""

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.generics import RetrieveAPIView
from rest_framework.permissions import BasePermission
from rest_framework.request import Request

from rigs.packets.models import Packet
from rigs.people.rights import SEE_PACKETS


class MaySeePackets(BasePermission):
    message = "Your account may not see tuning packets."

    def has_permission(self, request: Request, view: Any) -> bool:
        return bool(request.user.has_perm(SEE_PACKETS))


class PacketSerializer(serializers.ModelSerializer):
    """A packet as docs/packet-format.md describes it."""

    state = serializers.CharField(source="run.state")
    fingerprint = serializers.CharField(source="run.fingerprint")
    calc_version = serializers.CharField(source="run.calc_version")

    class Meta:
        model = Packet
        fields = (
            "id",
            "event",
            "number",
            "state",
            "fingerprint",
            "calc_version",
            "asked_at",
            "made_at",
            "about",
            "kit",
            "overrides",
            "sections",
            "pictures",
        )


@extend_schema(summary="One tuning packet with all its sections")
class PacketView(RetrieveAPIView):
    """One packet. `sections` is null until it is made."""

    queryset = Packet.objects.select_related("run").defer("run__description", "run__prediction")
    serializer_class = PacketSerializer
    permission_classes = (MaySeePackets,)
