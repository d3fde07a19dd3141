from django.urls import path, register_converter
from django.urls.converters import StringConverter

from inventory.views import (
    counted,
    desk,
    due,
    inspections,
    jaws,
    keeping,
    lathes,
    loans,
    missing_details,
    mounting,
    numbers,
    rack,
    series,
    tokens,
    tools,
    wants,
    whereabouts,
)


class TagConverter(StringConverter):
    """Anything that can stand on a piece; a zero byte cannot, and PostgreSQL refuses to look for one."""

    regex = r"[^/\x00]+"


register_converter(TagConverter, "tag")

urlpatterns = [
    path("tooling/", tools.tool_list, name="tool_list"),
    path("tooling/add/", keeping.tool_kinds, name="tool_add"),
    path("tooling/add-rack/", rack.rack_add, name="rack_add"),
    path("tooling/details-missing/", missing_details.details_missing, name="details_missing"),
    path("tooling/add/<slug:slug>/", keeping.tool_add, name="tool_add"),
    path("tooling/counted/", counted.counted_list, name="counted_list"),
    path("tooling/counted/add/", counted.counted_add, name="counted_add"),
    path("tooling/counted/<int:pk>/", counted.counted_item, name="counted_item"),
    path("tooling/counted/<int:pk>/edit/", counted.counted_edit, name="counted_edit"),
    path("tooling/counted/<int:pk>/retire/", counted.counted_retire, name="counted_retire"),
    path("tooling/counted/<int:pk>/unretire/", counted.counted_unretire, name="counted_unretire"),
    path("tooling/counted/<int:pk>/count/", counted.counted_count, name="counted_count"),
    path("tooling/counted/in/<int:pk>/take/", counted.counted_take, name="counted_take"),
    path("tooling/counted/in/<int:pk>/top-up/", counted.counted_top_up, name="counted_top_up"),
    path("t/<tag:tag>/", tools.tool, name="tool"),
    path("t/<tag:tag>/edit/", keeping.tool_edit, name="tool_edit"),
    path("t/<tag:tag>/retire/", keeping.tool_retire, name="tool_retire"),
    path("t/<tag:tag>/unretire/", keeping.tool_unretire, name="tool_unretire"),
    path("t/<tag:tag>/issue/", loans.tool_issue, name="tool_issue"),
    path("t/<tag:tag>/return/", loans.tool_return, name="tool_return"),
    path("t/<tag:tag>/inspect/", inspections.inspect, name="inspect"),
    path("t/<tag:tag>/inspect/<int:pk>/", inspections.inspection_correct, name="inspection_correct"),
    path("t/<tag:tag>/wear/", inspections.wear, name="wear"),
    path("t/<tag:tag>/missing/", whereabouts.tool_missing, name="tool_missing"),
    path("t/<tag:tag>/found/", whereabouts.tool_found, name="tool_found"),
    path("photos/<int:pk>/", inspections.inspection_photo, name="inspection_photo"),
    path("t/<tag:tag>/mount/", mounting.tool_mount, name="tool_mount"),
    path("t/<tag:tag>/take-off/", mounting.tool_take_off, name="tool_take_off"),
    path("t/<tag:tag>/jaws/add/", jaws.jaws_add, name="jaws_add"),
    path("t/<tag:tag>/jaws/<int:pk>/", jaws.jaws_edit, name="jaws_edit"),
    path("t/<tag:tag>/jaws/<int:pk>/put-in/", jaws.jaws_put_in, name="jaws_put_in"),
    path("t/<tag:tag>/jaws/<int:pk>/retire/", jaws.jaws_retire, name="jaws_retire"),
    path("t/<tag:tag>/jaws/<int:pk>/unretire/", jaws.jaws_unretire, name="jaws_unretire"),
    path("lathes/<int:pk>/mount/", mounting.lathe_mount, name="lathe_mount"),
    path("lathes/", lathes.lathe_list, name="lathe_list"),
    path("lathes/add/", lathes.lathe_add, name="lathe_add"),
    path("lathes/<int:pk>/", lathes.lathe, name="lathe"),
    path("lathes/<int:pk>/edit/", lathes.lathe_edit, name="lathe_edit"),
    path("lathes/<int:pk>/retire/", lathes.lathe_retire, name="lathe_retire"),
    path("lathes/<int:pk>/unretire/", lathes.lathe_unretire, name="lathe_unretire"),
    path("desk/", desk.desk, name="desk"),
    path("desk/due/", due.due, name="due"),
    path("desk/due/limits/", due.wear_limits, name="wear_limits"),
    path("desk/due/limits/series/<tag:code>/", due.limits_of_series, name="limits_of_series"),
    path("desk/due/limits/kind/<slug:slug>/", due.limits_of_kind, name="limits_of_kind"),
    path("desk/tokens/", tokens.tokens, name="tokens"),
    path("desk/tokens/<int:pk>/revoke/", tokens.token_revoke, name="token_revoke"),
    path("numbers/", numbers.numbers, name="numbers"),
    path("seats/", numbers.seats, name="seats"),
    path("series/", series.series_list, name="series_list"),
    path("series/measuring/", series.measuring, name="measuring"),
    path("series/<str:code>/<slug:shape>/", series.series, name="series"),
    path("missing/", wants.missing, name="missing"),
    path("missing/want/", wants.want_add, name="want_add"),
    path("missing/want/<int:pk>/drop/", wants.want_drop, name="want_drop"),
]
