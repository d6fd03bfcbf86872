"""Two people at the same instant: one after the other, and never both."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection

from rigs.people.rights import MANAGER, SYSTEM_TECH
from rigs.systems.actions import save_line, save_placement
from rigs.systems.faults import NotSaved
from rigs.systems.models import DriveLine, Link, Placement
from rigs.versions import ChangedMeanwhile
from tests import factories

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*calls):
    """Run the calls in threads that start together; each answers None or what it raised."""
    barrier = Barrier(len(calls))

    def run(call):
        barrier.wait()
        try:
            call()
        except (NotSaved, ChangedMeanwhile) as refusal:
            return refusal
        finally:
            connection.close()
        return None

    with ThreadPoolExecutor(len(calls)) as pool:
        return list(pool.map(run, calls))


@pytest.fixture
def two(db):
    return factories.person(SYSTEM_TECH), factories.person(MANAGER)


def test_the_same_version_saved_twice_at_once(two):
    box = factories.placement(factories.event(), name="Top")
    copies = [Placement.objects.get(pk=box.pk) for _ in two]
    for shift, copy in enumerate(copies, start=1):
        copy.x_m = float(shift)
    answers = at_once(
        *(
            lambda c=copy, p=who: save_placement(c, 1, p)
            for copy, who in zip(copies, two, strict=True)
        )
    )
    refused = [answer for answer in answers if answer]
    assert len(refused) == 1 and isinstance(refused[0], ChangedMeanwhile)
    assert Placement.objects.get(pk=box.pk).version == 2


def test_one_channel_taken_twice_at_once(two):
    event = factories.event()
    amp = factories.amplifier_place(event)
    boxes = [factories.placement(event, name=f"Top {n}") for n in (1, 2)]

    def connect(box, who):
        line = DriveLine(event=event, name=f"To {box}", amplifier_place=amp, first_channel=1)
        link = Link(placement=box, way=box.loudspeaker.ways.get())
        save_line(line, [link], None, who)

    answers = at_once(
        *(lambda b=box, p=who: connect(b, p) for box, who in zip(boxes, two, strict=True))
    )
    [refusal] = [answer for answer in answers if answer]
    assert "uses channel 1" in str(refusal)
    assert DriveLine.objects.count() == 1 and Link.objects.count() == 1


def test_the_database_refuses_what_the_actions_would_not_see(two):
    event = factories.event()
    amp = factories.amplifier_place(event, name="Amp A")
    factories.line(event, amp=amp, name="Tops", first_channel=1)
    row = DriveLine(event=event, name="Other", amplifier_place=amp, first_channel=1)

    from rigs.systems.actions.base import changing

    with pytest.raises(NotSaved) as refusal, changing(row):
        row.save()
    assert refusal.value.faults == {
        "first_channel": ["Another drive line uses this amplifier channel already."]
    }
    assert row.pk is None
