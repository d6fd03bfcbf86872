"""The stock in the browser."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from rigs.events import actions
from rigs.stock.models import Unit
from rigs.stock.queries import stock_list
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def warehouse(client: Client) -> Client:
    client.force_login(make.person("warehouse"))
    return client


def out_now(**fields):
    return make.event(out_at=timezone.now() - timedelta(hours=5), **fields)


def test_owned_out_and_free_now() -> None:
    box, cable = make.loudspeaker(), make.cable()
    make.units(box, 6)
    make.unit(box, state="set aside", fault="hums")
    make.unit(box, state="gone")
    make.count(cable, 20, set_aside=2)
    event = out_now()
    actions.put_on_kit(event, box, 4)
    actions.put_on_kit(event, cable, 5)
    actions.put_on_kit(make.event(), box, 6)  # years ahead: not out, and free now
    box_row, cable_row = stock_list(timezone.now())
    assert (box_row.owned, box_row.aside, box_row.out, box_row.free) == (7, 1, 4, 2)
    assert (cable_row.owned, cable_row.aside, cable_row.out, cable_row.free) == (20, 2, 5, 13)


def test_what_is_being_tested_is_back_but_not_free() -> None:
    box = make.loudspeaker(turnaround=timedelta(hours=2))
    make.units(box, 2)
    event = make.event(out_at=timezone.now() - timedelta(hours=49))
    actions.put_on_kit(event, box, 2)
    (row,) = stock_list(timezone.now())
    assert (row.out, row.free) == (0, 0)


def test_filters() -> None:
    box, amplifier = make.loudspeaker(maker="Marrow"), make.amplifier(maker="Sorrel")
    make.unit(box, "M-01")
    make.unit(amplifier, "S-01", state="set aside", fault="fan")
    cable = make.cable(maker="Reel")
    make.count(cable, 4, set_aside=1)
    make.loudspeaker(maker="Never bought")

    def makers(**narrow: str) -> list[str]:
        return [item.maker for item in stock_list(timezone.now(), **narrow)]

    assert makers() == ["Marrow", "Sorrel", "Reel"]
    assert makers(kind="amplifier") == ["Sorrel"]
    assert makers(state="set aside") == ["Sorrel", "Reel"]
    assert makers(words="marr") == ["Marrow"]
    assert makers(words="s-01") == ["Sorrel"]


def test_set_aside_needs_a_reason_and_ready_clears_it(warehouse: Client) -> None:
    unit = make.unit(make.loudspeaker(), "M-01")
    page = warehouse.post(f"/stock/units/{unit.pk}/set-aside/", {"reason": "  "}).content.decode()
    assert "Say why, so that the next one knows what to mend." in page
    warehouse.post(f"/stock/units/{unit.pk}/set-aside/", {"reason": "HF driver open"})
    unit.refresh_from_db()
    assert (unit.state, unit.fault) == ("set aside", "HF driver open")
    assert "HF driver open" in warehouse.get(f"/stock/units/{unit.pk}/").content.decode()
    warehouse.post(f"/stock/units/{unit.pk}/ready/")
    unit.refresh_from_db()
    assert (unit.state, unit.fault) == ("ready", "")


def test_a_unit_set_aside_names_the_events_that_need_another(warehouse: Client) -> None:
    box = make.loudspeaker()
    unit = make.unit(box, "M-01")
    actions.put_on_kit(make.event(name="Gala"), box, 1)
    warehouse.post(f"/stock/units/{unit.pk}/set-aside/", {"reason": "hums"})
    page = warehouse.get(f"/stock/units/{unit.pk}/").content.decode()
    assert "Gala" in page
    assert "needs another unit" in page


def test_the_list_asks_as_often_for_fifty_types(
    warehouse: Client, django_assert_max_num_queries, django_assert_num_queries
) -> None:
    def add() -> None:
        make.units(make.loudspeaker(), 3)
        make.count(make.cable(), 3)

    add()
    with django_assert_max_num_queries(8) as few:
        warehouse.get("/stock/")
    for _ in range(24):
        add()
    with django_assert_num_queries(len(few.captured_queries)):
        warehouse.get("/stock/")


def test_a_filter_it_does_not_know_lists_everything(warehouse: Client) -> None:
    make.unit(make.loudspeaker(maker="Marrow"))
    assert "Marrow" in warehouse.get("/stock/", {"kind": "spoon"}).content.decode()


def test_who_keeps_the_stock(client: Client) -> None:
    unit = make.unit(make.loudspeaker())
    for role, status in (("crew", 403), ("system tech", 403), ("warehouse", 302)):
        client.force_login(make.person(role))
        assert client.get("/stock/").status_code == 200
        posted = client.post(f"/stock/units/{unit.pk}/set-aside/", {"reason": "hums"})
        assert posted.status_code == status
    assert Unit.objects.get().fault == "hums"


def test_counting_pieces(warehouse: Client) -> None:
    cable = make.cable()
    make.count(cable, 20)
    actions.put_on_kit(make.event(name="Gala"), cable, 12)
    address = f"/stock/pieces/{cable.pk}/"
    page = warehouse.post(address, {"owned": 20, "set_aside": 9}).content.decode()
    assert "12 are promised at the same time to events ahead, but only 11 would be left." in page
    assert 'value="9"' in page
    assert "Gala" in page
    page = warehouse.post(address, {"owned": 5, "set_aside": 6}).content.decode()
    assert "More pieces are set aside than are owned." in page
    warehouse.post(address, {"owned": 20, "set_aside": 8})
    cable.count.refresh_from_db()
    assert cable.count.usable == 12


def test_the_first_count_of_a_new_item(warehouse: Client) -> None:
    cable = make.cable()
    warehouse.post(f"/stock/pieces/{cable.pk}/", {"owned": 3, "set_aside": 0})
    assert cable.count.owned == 3


def test_crew_reads_counts_only(client: Client) -> None:
    cable = make.cable()
    make.count(cable, 20)
    client.force_login(make.person("crew"))
    address = f"/stock/pieces/{cable.pk}/"
    assert "Owned 20" in client.get(address).content.decode()
    assert client.post(address, {"owned": 1, "set_aside": 0}).status_code == 403


def test_units_are_one_tap_away_where_many_items_are_listed(warehouse: Client) -> None:
    boxes = [make.loudspeaker(maker="Marrow") for _ in range(4)]
    for number, box in enumerate(boxes):
        make.unit(box, f"M-{number}")
    page = warehouse.get("/stock/").content.decode()
    assert "M-0" not in page
    assert f'href="?item={boxes[0].pk}"' in page
    page = warehouse.get("/stock/", {"item": boxes[0].pk}).content.decode()
    assert "M-0" in page
    assert "M-1" not in page
