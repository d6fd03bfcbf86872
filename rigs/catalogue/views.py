"""The catalogue in the browser."""

from typing import Any, cast

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.db.models import prefetch_related_objects
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from rigs.catalogue import actions, forms, queries
from rigs.catalogue.abilities import shown_abilities
from rigs.catalogue.figures import all_shown, hours
from rigs.catalogue.gains import write_gains
from rigs.catalogue.models import Amplifier, Cable, Item, Kind, Loudspeaker, Processor
from rigs.catalogue.shown_curves import shown_curve
from rigs.people.models import Person
from rigs.people.rights import KEEP_CATALOGUE
from rigs.versions import ChangedMeanwhile

keeps_catalogue = permission_required(KEEP_CATALOGUE, raise_exception=True)
PER_PAGE = 100


def list_items(request: HttpRequest) -> HttpResponse:
    search, kind = request.GET.get("q", "").strip(), request.GET.get("kind", "")
    pages = Paginator(queries.listed_items(search, kind), PER_PAGE)
    page = pages.get_page(request.GET.get("page"))
    rows = [(item, queries.in_short(item), queries.owned(item)) for item in page]
    context = {"rows": rows, "page": page, "search": search, "kind": kind, "kinds": Kind.choices}
    return render(request, "catalogue/list.html", context)


def show_item(request: HttpRequest, item_id: int) -> HttpResponse:
    item = _item(item_id)
    context = {
        "item": item,
        "figures": list(all_shown(item)),
        "facts": _facts(item),
        "preparation": hours(item.preparation),
        "turnaround": hours(item.turnaround),
        "ends": item.ends.select_related("connector").order_by("side", "connector__name"),
        **_parts(item),
    }
    return render(request, "catalogue/item.html", context)


@keeps_catalogue
def new_item(request: HttpRequest, kind: str) -> HttpResponse:
    if kind not in queries.CLASS_OF_KIND:
        raise Http404("There is no such kind of item.")
    item = queries.CLASS_OF_KIND[kind]()
    return _edit(request, item, kind)


@keeps_catalogue
def edit_item(request: HttpRequest, item_id: int) -> HttpResponse:
    item = _item(item_id)
    return _edit(request, item, item.kind)


def _edit(request: HttpRequest, item: Item, kind: str) -> HttpResponse:
    data = request.POST if request.method == "POST" else None
    more = request.POST.get("more", "")
    if data is not None and more in forms.item_lists(kind, item):
        data = forms.with_one_more_row(data, kind, item, more)
    form = forms.FORM_OF_KIND[kind](data, instance=item)
    lists = forms.item_lists(kind, item, data, request.FILES or None)
    status = 200
    if data is not None and not more:
        if all([form.is_valid(), *(formset.is_valid() for formset in lists.values())]):
            saved = _save(request, form, lists)
            if saved:
                return saved
        status = 422
    context = {"form": form, "lists": lists, "item": item, "kind": kind, "more": more}
    return render(request, "catalogue/edit.html", context, status=status)


def _save(request: HttpRequest, form: Any, lists: dict[str, Any]) -> HttpResponse | None:
    seen = form.cleaned_data.get("seen_version") or 0
    try:
        item = actions.save_item(form.instance, lists.values(), seen, cast(Person, request.user))
    except ChangedMeanwhile as changed:
        form.add_error(None, str(changed))
        form.data = form.data.copy()
        form.data["seen_version"] = changed.row.version
        return None
    messages.success(request, f"{item} is saved.")
    return redirect("catalogue:item", item.pk)


def _item(item_id: int) -> Item:
    try:
        return queries.whole_item(item_id)
    except Item.DoesNotExist as missing:
        raise Http404("There is no such item in the catalogue.") from missing


FACTS = {
    Kind.LOUDSPEAKER: ("role",),
    Kind.AMPLIFIER: ("channels", "rack_units"),
    Kind.CABLE: ("use", "pole_pairs"),
    Kind.PROCESSOR: ("inputs", "outputs"),
    Kind.MIXER: (),
    Kind.ACCESSORY: (),
}


def _facts(item: Item) -> list[tuple[str, str]]:
    """What is known by choice rather than measured: role, channels, conductor class."""
    names = FACTS[Kind(item.kind)]
    facts = [(name.replace("_", " "), str(getattr(item, name))) for name in names]
    if isinstance(item, Cable):
        facts.append(("conductor", item.get_conductor_class_display()))
    if isinstance(item, Amplifier) and item.gain_settings_db:
        facts.append(("selectable gains", f"{write_gains(item.gain_settings_db)} dB"))
    return facts


def _parts(item: Item) -> dict[str, Any]:
    """Ways of a loudspeaker; what a processor sets; modes of an amplifier with their ratings."""
    if isinstance(item, Loudspeaker):
        prefetch_related_objects([item], "ways")
        return {"ways": [(way, list(all_shown(way)), shown_curve(way)) for way in item.ways.all()]}
    if isinstance(item, Processor):
        return {"abilities": shown_abilities(item)}
    if isinstance(item, Amplifier):
        ratings = list(item.ratings.all())
        modes = [
            (mode, list(all_shown(mode)), [_rating(r) for r in ratings if r.mode == mode.mode])
            for mode in item.modes.all()
        ]
        listed = {mode.mode for mode, _, _ in modes}
        loose = [_rating(r) for r in ratings if r.mode not in listed]
        return {"modes": modes, "loose_ratings": loose}
    return {}


def _rating(rating: Any) -> tuple[Any, Any]:
    return rating, next(all_shown(rating))
