"""What every page is given."""

from django.utils.safestring import mark_safe

from shop.stylesheet import CSS, DESK_CSS

# Our own files.
_STYLE = mark_safe(CSS)
_DESK_STYLE = mark_safe(DESK_CSS)


def look(request):
    return {"style": _STYLE, "desk_style": _DESK_STYLE}
