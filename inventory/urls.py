from django.urls import path, register_converter
from django.urls.converters import StringConverter

from inventory.views import desk, keeping, labels, lathes, loans, places, rack, tokens, tools, wants


class TagConverter(StringConverter):
    """Anything that can stand on a piece; a zero byte cannot, and PostgreSQL refuses to look for one."""

    regex = r"[^/\x00]+"


register_converter(TagConverter, "tag")

urlpatterns = [
    path("tooling/", tools.tool_list, name="tool_list"),
    path("tooling/add/", keeping.tool_kinds, name="tool_add"),
    path("tooling/add-rack/", rack.rack_add, name="rack_add"),
    path("tooling/add/<slug:slug>/", keeping.tool_add, name="tool_add"),
    path("t/<tag:tag>/", tools.tool, name="tool"),
    path("t/<tag:tag>/edit/", keeping.tool_edit, name="tool_edit"),
    path("t/<tag:tag>/retire/", keeping.tool_retire, name="tool_retire"),
    path("t/<tag:tag>/unretire/", keeping.tool_unretire, name="tool_unretire"),
    path("t/<tag:tag>/issue/", loans.tool_issue, name="tool_issue"),
    path("t/<tag:tag>/return/", loans.tool_return, name="tool_return"),
    path("places/<int:pk>/", places.place, name="place"),
    path("labels/", labels.labels, name="labels"),
    path("labels/print/", labels.labels_print, name="labels_print"),
    path("lathes/", lathes.lathe_list, name="lathe_list"),
    path("lathes/add/", lathes.lathe_add, name="lathe_add"),
    path("lathes/<int:pk>/", lathes.lathe, name="lathe"),
    path("lathes/<int:pk>/edit/", lathes.lathe_edit, name="lathe_edit"),
    path("lathes/<int:pk>/retire/", lathes.lathe_retire, name="lathe_retire"),
    path("lathes/<int:pk>/unretire/", lathes.lathe_unretire, name="lathe_unretire"),
    path("desk/", desk.desk, name="desk"),
    path("desk/tokens/", tokens.tokens, name="tokens"),
    path("desk/tokens/<int:pk>/revoke/", tokens.token_revoke, name="token_revoke"),
    path("missing/", wants.missing, name="missing"),
    path("missing/want/", wants.want_add, name="want_add"),
    path("missing/want/<int:pk>/drop/", wants.want_drop, name="want_drop"),
]
