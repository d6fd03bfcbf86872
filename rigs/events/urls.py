from django.urls import path

from rigs.events.views import events, kit

app_name = "events"

urlpatterns = [
    path("events/", events.list_events, name="list"),
    path("events/new/", events.new_event, name="new"),
    path("events/<int:event_id>/times/", events.edit_event, name="edit"),
    path("events/<int:event_id>/cancel/", events.cancel_event, name="cancel"),
    path("events/<int:event_id>/take-up-again/", events.take_up_again, name="take_up_again"),
    path("events/<int:event_id>/kit/", kit.kit, name="kit"),
    path("events/<int:event_id>/kit/search/", kit.search, name="search"),
    path("events/<int:event_id>/kit/timeline/<int:item_id>/", kit.show_timeline, name="timeline"),
    path("events/<int:event_id>/kit/rows/<int:row_id>/", kit.row, name="row"),
]
