"""Paths of an event's rig."""

from django.urls import URLPattern, URLResolver, path

from rigs.systems import views

app_name = "systems"

RIG = "events/<int:event_id>/rig/"
PROCESSING = f"{RIG}processing/"
OUTPUT = f"{PROCESSING}<int:place_id>/<int:number>"
PARTS = (
    "placement",
    "amplifier",
    "processor",
    "mixer",
    "feed",
    "support",
    "load",
    "spot",
    "alignment",
    "response",
    "microphone",
)

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
    path(PROCESSING, views.processing, name="processing"),
    path(f"{OUTPUT}/", views.output, name="output"),
    path(f"{OUTPUT}/tried/", views.output_tried, name="output_tried"),
    path(f"{PROCESSING}revisions/", views.revisions, name="revisions"),
    path(f"{PROCESSING}revisions/<int:number>/", views.revision, name="revision"),
    path(f"{PROCESSING}revisions/<int:number>/back/", views.revision_back, name="revision_back"),
    path(f"{PROCESSING}alignments/", views.alignments, name="alignments"),
    path(f"{PROCESSING}alignments/<int:row_id>/", views.alignment_page, name="alignment_page"),
    path(f"{PROCESSING}alignments/<int:row_id>/take/", views.alignment_take, name="alignment_take"),
    path(f"{PROCESSING}sub-array/", views.sub_array, name="sub_array"),
    path(f"{PROCESSING}sub-array/take/", views.sub_array_take, name="sub_array_take"),
    path(f"{RIG}lines/<int:row_id>/remove/", views.remove, {"kind": "line"}, name="line_remove"),
]
for kind in PARTS:
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
