from django.urls import path, register_converter
from django.urls.converters import StringConverter

from inventory.views import counted, desk, keeping, lathes, loans, prices, rack, tokens, tools, wants


class TagConverter(StringConverter):
    """Anything that can stand on a piece; a zero byte cannot, and PostgreSQL refuses to look for one."""

    regex = r"[^/\x00]+"


register_converter(TagConverter, "tag")

urlpatterns = [
    path("tooling/", tools.tool_list, name="tool_list"),
    path("tooling/add/", keeping.tool_kinds, name="tool_add"),
    path("tooling/add-rack/", rack.rack_add, name="rack_add"),
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
    path("missing/asks/dismiss/", wants.ask_dismiss, name="ask_dismiss"),
    path("missing/prices/", prices.prices, name="prices"),
    path("missing/prices/set/", prices.price_set, name="price_set"),
    path("missing/prices/<int:pk>/drop/", prices.price_drop, name="price_drop"),
    path("missing/prices/set/<int:pk>/drop/", prices.price_set_drop, name="price_set_drop"),
    path("missing/want/", wants.want_add, name="want_add"),
    path("missing/want/<int:pk>/drop/", wants.want_drop, name="want_drop"),
]
