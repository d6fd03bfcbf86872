"""Paths of an event's rig."""

from django.urls import URLPattern, URLResolver, path

from rigs.systems import views

app_name = "systems"

RIG = "events/<int:event_id>/rig/"

urlpatterns: list[URLPattern | URLResolver] = [
    path(RIG, views.rig, name="rig"),
    path(f"{RIG}placements/several/", views.several, name="several"),
    path(f"{RIG}lines/new/", views.line_new, name="line_new"),
    path(f"{RIG}lines/<int:line_id>/", views.line, name="line"),
    path(f"{RIG}lines/<int:row_id>/remove/", views.remove, {"kind": "line"}, name="line_remove"),
]
for kind in ("placement", "amplifier", "processor"):
    urlpatterns += [
        path(f"{RIG}{kind}s/new/", views.part, {"kind": kind}, name=f"{kind}_new"),
        path(f"{RIG}{kind}s/<int:row_id>/", views.part, {"kind": kind}, name=kind),
        path(
            f"{RIG}{kind}s/<int:row_id>/remove/",
            views.remove,
            {"kind": kind},
            name=f"{kind}_remove",
        ),
    ]
