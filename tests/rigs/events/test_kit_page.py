"""Building a kit list in the browser, with and without JavaScript."""

import re

import pytest
from django.test import Client

from rigs.events import actions
from rigs.events.models import KitRow
from rigs.events.quantities import quantity_in
from rigs.stock.models import Unit
from tests import factories as make

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


@pytest.fixture
def warehouse(client: Client) -> Client:
    client.force_login(make.person("warehouse"))
    return client


@pytest.fixture
def marrow():
    box = make.loudspeaker(maker="Marrow", model="12")
    make.units(box, 4)
    return box


def kit(event) -> str:
    return f"/events/{event.pk}/kit/"


def field(page: str, name: str) -> str:
    """The value that stands in an input."""
    (tag,) = re.findall(rf'<input[^>]*name="{name}"[^>]*>', page)
    return re.search(r'value="([^"]*)"', tag)[1]


def test_searching_shows_what_is_free_for_the_events_times(warehouse: Client, marrow) -> None:
    actions.put_on_kit(make.event(name="Fair"), marrow, 3)
    page = warehouse.get(kit(make.event()), {"q": "marr TOP"}).content.decode()
    assert re.search(r'figure-small">1</strong>\s*<span[^>]*>free of 4', page)
    assert "3 Fair" in page, "and the timeline of the first one found"
    assert "Fair: 3 from" in page, "also in words"


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("4 marrow", ("4", "marrow")),
        ("4x marrow 12", ("4", "marrow 12")),
        ("12 x cable 10 m", ("12", "cable 10 m")),
        ("10 m", ("1", "10 m")),
        ("2.5 mm2", ("1", "2.5 mm2")),
        ("marrow 12", ("1", "marrow 12")),
        ("12", ("1", "12")),
        ("0 marrow", ("0", "marrow")),
        ("-3 marrow", ("-3", "marrow")),
    ],
)
def test_a_number_before_the_words_is_the_quantity(typed: str, expected: tuple) -> None:
    assert quantity_in(typed) == expected


@pytest.mark.parametrize("headers", [{}, HTMX], ids=["plain", "htmx"])
def test_adding(warehouse: Client, marrow, headers: dict) -> None:
    event = make.event()
    post = {"q": "marrow", "add": marrow.pk, f"new-{marrow.pk}": "3", f"place-{marrow.pk}": "stage"}
    response = warehouse.post(kit(event), post, headers=headers)
    row = KitRow.objects.get()
    assert (row.quantity, row.place, row.pieces_promised) == (3, "stage", 3)
    if not headers:
        assert response.headers["Location"] == f"{kit(event)}?q=marrow&shown={marrow.pk}"
        response = warehouse.get(response.headers["Location"])
    page = response.content.decode()
    assert "Added 3 x Marrow 12 (stage)." in page
    assert ("<html" in page) == (not headers)


@pytest.mark.parametrize("headers", [{}, HTMX], ids=["plain", "htmx"])
def test_a_refusal_stands_by_its_field_and_all_typed_is_kept(
    warehouse: Client, marrow, headers: dict
) -> None:
    cable = make.cable()
    make.count(cable, 9)
    actions.put_on_kit(make.event(name="Fair"), marrow, 3)
    event = make.event()
    row = actions.put_on_kit(event, cable, 2)
    post = {
        "q": "marrow",
        "add": marrow.pk,
        f"new-{marrow.pk}": "2",
        f"place-{marrow.pk}": "spare",
        f"quantity-{row.pk}": "5",
        f"seen-{row.pk}": "2",
    }
    page = warehouse.post(kit(event), post, headers=headers).content.decode()
    assert "Only 1 of 2 Marrow 12 is free. Fair has 3 until" in page
    assert re.search(rf'id="new-fault-{marrow.pk}" role="alert"', page)
    assert field(page, f"new-{marrow.pk}") == "2"
    assert re.search(r"<option selected>spare</option>", page)
    assert field(page, f"quantity-{row.pk}") == "5", "typed elsewhere, not saved yet"
    assert field(page, "q") == "marrow"
    assert "Add the 1 that is free" in page
    assert list(event.kit.values_list("quantity", flat=True)) == [2]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Say how many."),
        ("some", "some is not a whole number of pieces."),
        ("0", "At least one piece"),
        ("-2", "At least one piece"),
        ("2.5", "2.5 is not a whole number of pieces."),
        ("99999", "More than 5000 is not believable."),
    ],
)
def test_quantities_that_are_none(warehouse: Client, marrow, typed: str, sentence: str) -> None:
    event = make.event()
    row = actions.put_on_kit(event, marrow, 2)
    page = warehouse.post(
        kit(event), {"enter": 1, f"quantity-{row.pk}": typed, f"seen-{row.pk}": "2"}
    ).content.decode()
    assert sentence in page
    assert field(page, f"quantity-{row.pk}") == typed
    row.refresh_from_db()
    assert row.quantity == 2


def test_enter_saves_the_quantities_that_changed(warehouse: Client, marrow) -> None:
    cable = make.cable()
    make.count(cable, 9)
    event = make.event()
    one, two = actions.put_on_kit(event, marrow, 2), actions.put_on_kit(event, cable, 2)
    posted = {
        "enter": 1,
        f"quantity-{one.pk}": "9",
        f"seen-{one.pk}": "2",
        f"quantity-{two.pk}": "7",
        f"seen-{two.pk}": "2",
    }
    page = warehouse.post(kit(event), posted, headers=HTMX).content.decode()
    one.refresh_from_db()
    two.refresh_from_db()
    assert (one.quantity, two.quantity) == (2, 7), "one refused does not hold up the other"
    assert (field(page, f"quantity-{one.pk}"), field(page, f"quantity-{two.pk}")) == ("9", "7")


def test_an_untouched_quantity_follows_what_was_added(warehouse: Client, marrow) -> None:
    event = make.event()
    row = actions.put_on_kit(event, marrow, 2)
    posted = {
        "add": marrow.pk,
        f"new-{marrow.pk}": "1",
        f"place-{marrow.pk}": "line",
        f"quantity-{row.pk}": "2",
        f"seen-{row.pk}": "2",
    }
    page = warehouse.post(kit(event), posted, headers=HTMX).content.decode()
    assert field(page, f"quantity-{row.pk}") == field(page, f"seen-{row.pk}") == "3"


def test_the_offer_after_a_refusal_is_one_tap_away(warehouse: Client, marrow) -> None:
    fennel = make.loudspeaker(maker="Fennel", model="12")
    make.units(fennel, 9)
    event = make.event()
    post = {"add": marrow.pk, f"new-{marrow.pk}": "6", f"place-{marrow.pk}": "stage"}
    page = warehouse.post(kit(event), post, headers=HTMX).content.decode()
    taps = dict(re.findall(r'name="tap" value="([^"]*)">([^<]*)<', page))
    (tap,) = [value for value, label in taps.items() if label == "Add 6 x Fennel 12"]
    del post["add"]
    page = warehouse.post(kit(event), {**post, "tap": tap}, headers=HTMX).content.decode()
    row = KitRow.objects.get()
    assert (row.item_id, row.quantity, row.place) == (fennel.pk, 6, "stage")
    assert 'role="alert"' not in page, "what it answered is done"


@pytest.mark.parametrize(
    "posted", [{"add": "99999"}, {"add": ""}, {"tap": "x"}, {"tap": "99999:2"}, {"replace": "1:2"}]
)
def test_what_is_no_longer_there_is_told(warehouse: Client, posted: dict) -> None:
    page = warehouse.post(kit(make.event()), posted).content.decode()
    assert "This is no longer there. Look at the list again." in page


def test_a_missing_cable_is_one_tap_away(warehouse: Client) -> None:
    box, amplifier, short, long = (
        make.loudspeaker(),
        make.amplifier(),
        make.cable(model="run", length_m=5.0),
        make.cable(model="long run", length_m=20.0),
    )
    make.end(box, "twist-lock 4-pole", "takes")
    make.end(amplifier, "twist-lock 4-pole", "feeds", count=4)
    for cable in (short, long):
        make.end(cable, "twist-lock 4-pole", "takes")
        make.end(cable, "twist-lock 4-pole", "feeds")
        make.count(cable, 3)
    make.units(box, 3)
    make.unit(amplifier)
    event = make.event()
    actions.put_on_kit(event, box, 3)
    actions.put_on_kit(event, amplifier, 1, place="rack")
    page = warehouse.get(kit(event)).content.decode()
    assert "3 loudspeaker inputs (twist-lock 4-pole) have no cable: add 3." in page
    taps = re.findall(r'name="tap" value="([^"]*)">([^<]*)<', page)
    assert [label for _, label in taps] == [
        "Add 3 x Testmade run, 5 m",
        "Add 3 x Testmade long run, 20 m",
    ]
    warehouse.post(kit(event), {"tap": taps[1][0]})
    page = warehouse.get(kit(event)).content.decode()
    assert "Every end on the list finds another." in page
    assert re.search(r"<dt>Cable</dt>\s*<dd>\s*60 m", page)


def test_taking_off(warehouse: Client, marrow) -> None:
    event = make.event()
    row = actions.put_on_kit(event, marrow, 2)
    warehouse.post(kit(event), {"take_off": row.pk})
    assert not KitRow.objects.exists()
    warehouse.post(kit(event), {"take_off": row.pk})  # pressed twice: nothing happens


def test_a_row_of_another_event_is_not_touched(warehouse: Client, marrow) -> None:
    row = actions.put_on_kit(make.event(), marrow, 2)
    other = make.event()
    warehouse.post(kit(other), {"take_off": row.pk})
    warehouse.post(kit(other), {"enter": 1, f"quantity-{row.pk}": "1", f"seen-{row.pk}": "2"})
    assert warehouse.get(f"{kit(other)}rows/{row.pk}/").status_code == 404
    row.refresh_from_db()
    assert row.quantity == 2


def test_adding_a_whole_rack(warehouse: Client) -> None:
    amplifier = make.amplifier()
    rack = make.rack(make.unit(amplifier, "A1"), make.unit(amplifier, "A2"), name="Rack 7")
    event = make.event()
    page = warehouse.get(kit(event)).content.decode()
    assert "Rack 7" in page
    warehouse.post(kit(event), {"add_rack": 1, "rack": rack.pk})
    page = warehouse.get(kit(event)).content.decode()
    assert "A1, A2" in page
    assert f'<option value="{rack.pk}"' not in page, "it is on the list"
    page = warehouse.post(kit(make.event()), {"add_rack": 1, "rack": ""}).content.decode()
    assert "Choose a rack." in page


def test_a_promised_unit_that_was_set_aside_is_a_problem_with_a_way_out(
    warehouse: Client, marrow
) -> None:
    event = make.event()
    row = actions.put_on_kit(event, marrow, 2)
    unit = row.unit_bookings.first().unit
    Unit.objects.filter(pk=unit.pk).update(state="set aside", fault="rattles")
    page = warehouse.get(kit(event)).content.decode()
    assert f"{unit.serial} is set aside: rattles." in page
    assert "1 missing" in page
    assert "short of promised kit" in warehouse.get("/events/").content.decode()
    warehouse.post(kit(event), {"replace": f"{row.pk}:{unit.pk}"})
    assert "missing" not in warehouse.get(kit(event)).content.decode()


def test_a_row_that_got_less_says_who_has_the_rest(warehouse: Client, marrow) -> None:
    actions.put_on_kit(make.event(name="Fair"), marrow, 3)
    event = make.event()
    row = actions.put_on_kit(event, marrow, 1)
    KitRow.objects.filter(pk=row.pk).update(quantity=3)
    page = warehouse.get(kit(event)).content.decode()
    assert "2 missing" in page
    assert "None of 2 more Marrow 12 are free. This kit list has 1 already. Fair has 3" in page


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("0 marrow", "0 can&#x27;t be added"),
        ("-3 marrow", "-3 can&#x27;t be added"),
        ("1.5 marrow", "1.5 is not a whole number of pieces."),
        ("99999999999 marrow", "More than 5000 is not believable."),
    ],
)
def test_a_wrong_number_before_the_words_is_told_and_never_added(
    warehouse: Client, marrow, typed: str, sentence: str
) -> None:
    event = make.event()
    found = warehouse.get(f"{kit(event)}search/", {"q": typed}, headers=HTMX).content.decode()
    assert sentence in found
    assert "Nothing in the catalogue" not in found
    number = field(found, f"new-{marrow.pk}")
    assert number == typed.split()[0], "Enter adds what stands in the field"
    post = {"q": typed, "add": marrow.pk, f"new-{marrow.pk}": number}
    page = warehouse.post(kit(event), post, headers=HTMX).content.decode()
    assert f'id="new-fault-{marrow.pk}"' in page
    assert not event.kit.exists()


def taps(page: str, name: str = "tap") -> dict[str, str]:
    """Values of the buttons, by what they say."""
    found = re.findall(rf'name="{name}" value="([^"]*)">([^<]*)<', page)
    return {label: value for value, label in found}


def test_less_is_taken_and_the_rest_noted_as_missing_in_one_tap(warehouse: Client, marrow) -> None:
    fair = make.event(name="Fair")
    theirs = actions.put_on_kit(fair, marrow, 3)
    event = make.event()
    post = {"add": marrow.pk, f"new-{marrow.pk}": "2", f"place-{marrow.pk}": "stage"}
    page = warehouse.post(kit(event), post, headers=HTMX).content.decode()
    del post["add"]
    tap = taps(page)["Take the 1 that is free, note 1 missing"]
    page = warehouse.post(kit(event), {**post, "tap": tap}, headers=HTMX).content.decode()
    row = event.kit.get()
    assert (row.quantity, row.wanted, row.place) == (1, 2, "stage")
    assert "1 missing</span>" in page
    assert re.search(r'<dt>Shortages</dt>\s*<dd class="bad">1<', page)
    assert "No more Marrow 12 is free. This kit list has 1 already. Fair has 3" in page
    assert "short of promised kit" in warehouse.get("/events/").content.decode()
    actions.set_quantity(theirs, 2)
    page = warehouse.get(kit(event)).content.decode()
    assert "1 more Marrow 12 is free now." in page
    tap = taps(page)["Take the 1 that is free"]
    page = warehouse.post(kit(event), {"tap": tap}, headers=HTMX).content.decode()
    row.refresh_from_db()
    assert (row.quantity, row.wanted, row.pieces_promised) == (2, 2, 2)
    assert "missing" not in page


def test_a_row_that_can_not_grow_notes_what_is_missing_or_has_enough(
    warehouse: Client, marrow
) -> None:
    event = make.event()
    row = actions.put_on_kit(event, marrow, 4)
    post = {"enter": 1, f"quantity-{row.pk}": "6", f"seen-{row.pk}": "4"}
    page = warehouse.post(kit(event), post, headers=HTMX).content.decode()
    tap = taps(page, "miss")["Leave it, note 2 missing"]
    del post["enter"]
    page = warehouse.post(kit(event), {**post, "miss": tap}, headers=HTMX).content.decode()
    assert "2 missing</span>" in page
    assert field(page, f"quantity-{row.pk}") == "4", "the list says what it has"
    tap = taps(page, "miss")["4 are enough"]
    page = warehouse.post(kit(event), {"miss": tap}, headers=HTMX).content.decode()
    assert "missing</span>" not in page
    row.refresh_from_db()
    assert (row.quantity, row.wanted) == (4, 4)


def test_the_timeline_follows_the_search(warehouse: Client, marrow) -> None:
    fennel = make.loudspeaker(maker="Fennel", model="12")
    make.unit(fennel)
    event = make.event()
    drawn = 'id="timeline-heading">\n      '
    typed = {"enter": 1, "q": "fennel", "searched": "marrow", "shown": marrow.pk}
    page = warehouse.post(kit(event), typed, headers=HTMX).content.decode()
    assert f"{drawn}Fennel 12" in page
    page = warehouse.post(
        kit(event), {**typed, "searched": "fennel"}, headers=HTMX
    ).content.decode()
    assert f"{drawn}Marrow 12" in page, "one that was asked for stays"
    nothing = warehouse.get(f"{kit(event)}search/", {"q": "xyz"}, headers=HTMX).content.decode()
    assert re.search(r'<div id="timeline" hx-swap-oob="innerHTML">\s*</div>', nothing)


def test_the_address_keeps_the_search_for_a_reload(warehouse: Client, marrow) -> None:
    event = make.event()
    found = warehouse.get(f"{kit(event)}search/", {"q": "2 marrow"}, headers=HTMX)
    assert found.headers["HX-Replace-Url"] == f"{kit(event)}?q=2+marrow"
    assert field(warehouse.get(found.headers["HX-Replace-Url"]).content.decode(), "q") == "2 marrow"


def test_the_foot_names_the_heaviest_lift_and_what_has_no_weight(warehouse: Client) -> None:
    amplifier = make.amplifier(mass_kg=19.75)
    rack = make.rack(make.unit(amplifier), make.unit(amplifier), name="Rack 3")
    rack.mass_empty_kg = 24.0
    rack.save()
    mystery = make.accessory(maker="Sage", model="stand", mass_kg=None)
    make.count(mystery, 9)
    event = make.event()
    actions.put_rack_on_kit(event, rack)
    actions.put_on_kit(event, mystery, 4)
    page = " ".join(warehouse.get(kit(event)).content.decode().split())
    assert "1 lift above 25 kg" in page
    assert "the heaviest known: Rack 3, loaded, 63.5 kg." in page
    assert "weigh before lifting: 4 x Sage stand." in page


def test_the_search_is_one_key_away(warehouse: Client) -> None:
    page = warehouse.get(kit(make.event())).content.decode()
    assert '<a class="skip" href="#q">Skip to the search</a>' in page
    assert re.search(r'<input type="search"[^>]*accesskey="s"', page, re.DOTALL)


def test_choosing_units_on_the_rows_own_page(warehouse: Client, marrow) -> None:
    event = make.event()
    row = actions.put_on_kit(event, marrow, 2)
    serials = sorted(marrow.units.values_list("serial", flat=True))
    address = f"{kit(event)}rows/{row.pk}/"
    typed = {"quantity": 3, "place": "stage", "why": "stage left", "seen": 2}
    response = warehouse.post(address, {**typed, "serials": serials[2:]})
    assert response.status_code == 302, response.content.decode()
    row.refresh_from_db()
    chosen = row.unit_bookings.filter(chosen=True)
    assert sorted(chosen.values_list("unit__serial", flat=True)) == serials[2:]
    assert (row.quantity, row.place, row.why) == (3, "stage", "stage left")
    fewer = {**typed, "seen": 3, "quantity": 1, "serials": serials[3:]}
    assert warehouse.post(address, fewer).status_code == 302
    assert row.unit_bookings.get().unit.serial == serials[3]


def test_a_row_is_saved_whole_or_not_at_all(warehouse: Client, marrow) -> None:
    chosen = marrow.units.order_by("serial").first().serial
    actions.put_on_kit(make.event(name="Fair"), marrow, 1, serials=[chosen])
    event = make.event()
    row = actions.put_on_kit(event, marrow, 1)
    typed = {"quantity": 2, "place": "stage", "why": "left", "seen": 1, "serials": [chosen]}
    page = warehouse.post(f"{kit(event)}rows/{row.pk}/", typed).content.decode()
    assert f"{chosen} is with Fair until" in page
    assert re.search(rf'value="{chosen}" checked', page)
    assert 'value="left"' in page
    row.refresh_from_db()
    assert (row.quantity, row.place) == (1, "line")


def test_the_page_asks_as_often_for_fifty_rows(
    warehouse: Client, marrow, django_assert_max_num_queries, django_assert_num_queries
) -> None:
    """One row of each kind, then fifty, many of them short and with open ends."""
    event, fair = make.event(), make.event(name="Fair")

    def add_row() -> None:
        box, cable = make.loudspeaker(maker="Marrow"), make.cable(maker="Marrow")
        make.end(box, "twist-lock 4-pole", "takes", count=2)
        make.end(cable, "twist-lock 4-pole", "takes")
        make.end(cable, "twist-lock 4-pole", "feeds")
        make.units(box, 3)
        make.count(cable, 2)
        make.rack(make.unit(make.amplifier(maker="Marrow")))
        actions.put_on_kit(fair, box, 1)
        for item in (box, cable):
            row = actions.put_on_kit(event, item, 2)
            KitRow.objects.filter(pk=row.pk).update(quantity=3)

    add_row()
    with django_assert_max_num_queries(30) as few:
        assert warehouse.get(kit(event), {"q": "marrow"}).status_code == 200
    with django_assert_max_num_queries(14) as few_found:
        warehouse.get(f"{kit(event)}search/", {"q": "marrow"}, headers=HTMX)
    for _ in range(24):
        add_row()
    with django_assert_num_queries(len(few.captured_queries)):
        assert warehouse.get(kit(event), {"q": "marrow"}).status_code == 200
    with django_assert_num_queries(len(few_found.captured_queries)):
        warehouse.get(f"{kit(event)}search/", {"q": "marrow"}, headers=HTMX)


def test_who_may_build(client: Client, marrow) -> None:
    event = make.event()
    row = actions.put_on_kit(event, marrow, 1)
    client.force_login(make.person("crew"))
    page = client.get(kit(event)).content.decode()
    assert "Marrow 12" in page
    assert 'name="take_off"' not in page
    assert client.post(kit(event), {"take_off": row.pk}).status_code == 403
    assert client.get(f"{kit(event)}rows/{row.pk}/").status_code == 403
    assert KitRow.objects.exists()
    for role in ("warehouse", "system tech", "manager"):
        client.force_login(make.person(role))
        assert 'name="take_off"' in client.get(kit(event)).content.decode()
