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
    path(f"{RIG}lines/<int:line_id>/keep/", views.what_if_keep, name="what_if_keep"),
    path(f"{RIG}lines/<int:line_id>/limiter/", views.limiter_set, name="limiter_set"),
    path(f"{RIG}overrides/new/", views.override_new, name="override_new"),
    path(
        f"{RIG}overrides/<int:override_id>/confirm/",
        views.override_confirm,
        name="override_confirm",
    ),
    path(
        f"{RIG}overrides/<int:override_id>/withdraw/",
        views.override_withdraw,
        name="override_withdraw",
    ),
    path(f"{RIG}choices/", views.choices, name="choices"),
    path(f"{RIG}coverage/", views.coverage, name="coverage"),
    path(f"{RIG}coverage/keep/", views.coverage_keep, name="coverage_keep"),
    path(f"{RIG}coverage/aim/", views.aim, name="aim"),
    path(f"{RIG}coverage/aim/<int:proposal_id>/", views.aim_proposal, name="aim_proposal"),
    path(f"{RIG}coverage/aim/<int:proposal_id>/accept/", views.aim_accept, name="aim_accept"),
    path(f"{RIG}mains/", views.mains, name="mains"),
    path(f"{RIG}mains/<int:supply_id>/plan/", views.plan_take, name="plan_take"),
    path(f"{RIG}weights/", views.weights, name="weights"),
    path(f"{RIG}lines/<int:row_id>/remove/", views.remove, {"kind": "line"}, name="line_remove"),
]
for kind in ("placement", "amplifier", "processor", "mixer", "feed", "support", "load"):
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
