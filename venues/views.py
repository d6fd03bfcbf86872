"""Venues in the browser."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.db import models
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from venues import actions, forms, queries
from venues.models import AudienceArea, HangPoint, ListeningPlace, Space, Venue
from venues.octaves import OCTAVES, octave_name
from venues.seen import ChangedMeanwhile
from venues.shown import drawings_of

DRAWN = (AudienceArea, ListeningPlace, HangPoint)
keeps_venues = permission_required("venues.keep_venues", raise_exception=True)


def list_venues(request: HttpRequest) -> HttpResponse:
    search = request.GET.get("q", "").strip()
    context = {"venues": queries.listed_venues(search), "search": search}
    return render(request, "venues/list.html", context)


def show_venue(request: HttpRequest, venue_id: int) -> HttpResponse:
    venue = get_object_or_404(Venue, pk=venue_id)
    spaces = [(space, drawings_of(space)) for space in queries.spaces_of(venue)]
    octaves = [octave_name(hz) for hz in OCTAVES]
    context = {"venue": venue, "spaces": spaces, "octaves": octaves}
    return render(request, "venues/venue.html", context)


@keeps_venues
def new_venue(request: HttpRequest) -> HttpResponse:
    return _edit(request, Venue(), forms.VenueForm, "New venue", None)


@keeps_venues
def edit_venue(request: HttpRequest, venue_id: int) -> HttpResponse:
    venue = get_object_or_404(Venue, pk=venue_id)
    return _edit(request, venue, forms.VenueForm, f"Edit {venue}", venue)


@keeps_venues
def new_space(request: HttpRequest, venue_id: int) -> HttpResponse:
    venue = get_object_or_404(Venue, pk=venue_id)
    return _edit(request, Space(venue=venue), forms.SpaceForm, f"New space of {venue}", venue)


@keeps_venues
def edit_space(request: HttpRequest, space_id: int) -> HttpResponse:
    space = get_object_or_404(Space.objects.select_related("venue"), pk=space_id)
    away = reverse("venues:space_remove", args=[space.pk])
    return _edit(request, space, forms.SpaceForm, f"Edit {space}", space.venue, remove_url=away)


@keeps_venues
def new_part(request: HttpRequest, space_id: int, part: str) -> HttpResponse:
    word, form_class = _part(part)
    space = get_object_or_404(Space.objects.select_related("venue"), pk=space_id)
    row = form_class._meta.model(space=space)
    return _edit(request, row, form_class, f"New {word} in {space}", space.venue, part=part)


@keeps_venues
def edit_part(request: HttpRequest, part: str, part_id: int) -> HttpResponse:
    word, form_class = _part(part)
    row = _part_row(form_class, part_id)
    title = f"Edit {word} {row} in {row.space}"
    away = reverse("venues:part_remove", args=[part, row.pk])
    return _edit(request, row, form_class, title, row.space.venue, remove_url=away, part=part)


@keeps_venues
def edit_surfaces(request: HttpRequest, space_id: int) -> HttpResponse:
    space = get_object_or_404(Space.objects.select_related("venue"), pk=space_id)
    form = forms.SurfacesForm(space, request.POST or None, request.FILES or None)
    if form.is_bound and form.is_valid():
        try:
            actions.replace_surfaces(space, form.cleaned_data["lines"], form.cleaned_data["seen"])
        except ChangedMeanwhile as changed:
            form.add_error(None, str(changed))
            form.show_stored_as_seen(changed.fingerprint)
        else:
            messages.success(request, f"The surfaces of {space} are saved.")
            return redirect("venues:venue", space.venue_id)
    title = f"Surfaces of {space}"
    context = {"form": form, "title": title, "venue": space.venue, "row": space}
    return render(request, "venues/edit.html", context, status=422 if form.is_bound else 200)


@keeps_venues
@require_POST
def remove_part(request: HttpRequest, part: str, part_id: int) -> HttpResponse:
    _, form_class = _part(part)
    row = _part_row(form_class, part_id)
    messages.info(request, actions.remove(row) or f"{row} is removed from {row.space}.")
    return redirect("venues:venue", row.space.venue_id)


@keeps_venues
@require_POST
def remove_space(request: HttpRequest, space_id: int) -> HttpResponse:
    space = get_object_or_404(Space.objects.select_related("venue"), pk=space_id)
    messages.info(request, actions.remove(space) or f"{space} is removed.")
    return redirect("venues:venue", space.venue_id)


def _part(part: str) -> tuple[str, type[forms.SeenForm]]:
    if part not in forms.PARTS:
        raise Http404("A space has no such part.")
    return forms.PARTS[part]


def _part_row(form_class: type[forms.SeenForm], part_id: int) -> Any:
    rows = form_class._meta.model._default_manager.select_related("space__venue")
    return get_object_or_404(rows, pk=part_id)


def _edit(
    request: HttpRequest,
    row: models.Model,
    form_class: type[forms.SeenForm],
    title: str,
    venue: Venue | None,
    **more: str,
) -> HttpResponse:
    form = form_class(request.POST if request.method == "POST" else None, instance=row)
    if form.is_bound and form.is_valid():
        try:
            actions.save(row, form.cleaned_data["seen"])
        except ChangedMeanwhile as changed:
            form.add_error(None, str(changed))
            form.show_stored_as_seen(changed.fingerprint)
        else:
            messages.success(request, f"{row} is saved.")
            return redirect("venues:venue", venue.pk if venue else row.pk)
    context: dict[str, Any] = {"form": form, "title": title, "venue": venue, "row": row, **more}
    if isinstance(row, DRAWN):
        context["drawings"] = drawings_of(row.space, row)
    return render(request, "venues/edit.html", context, status=422 if form.is_bound else 200)
