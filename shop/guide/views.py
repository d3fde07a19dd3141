"""The pages of the guides, open to everybody."""

import hashlib
from functools import cache
from html import escape
from pathlib import Path

from django.contrib.auth.decorators import login_not_required
from django.http import Http404
from django.shortcuts import render
from django.templatetags.static import static
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_safe

from shop.guide import GUIDES
from shop.guide.telling import TAPPED, Line, Moment, Picture
from shop.guide.words import WORDS

PICTURES = Path(__file__).resolve().parent.parent / "static" / "guide"
WIDTH = 390


@login_not_required
@require_safe
def guide(request):
    role = getattr(request.user, "role", "")
    guides = sorted(GUIDES, key=lambda guide: guide.role != role)
    return render(request, "shop/guide.html", {"guides": guides, "role": role, "words": WORDS})


@login_not_required
@require_safe
def guide_for(request, slug):
    chosen = next((guide for guide in GUIDES if guide.slug == slug), None)
    if chosen is None:
        raise Http404(f"There is no guide for “{slug}”.")
    context = {
        "guide": chosen,
        "moments": [_shown(moment) for moment in chosen.moments],
        "others": [guide for guide in GUIDES if guide is not chosen],
    }
    return render(request, "shop/guide_for.html", context)


def _shown(moment: Moment) -> dict:
    return {
        "moment": moment,
        "steps": _told(moment.steps),
        "answer": _told(moment.answer),
        "no": _told(moment.no),
        "picture": _picture(moment.picture) if moment.picture else None,
    }


def _told(lines: tuple[Line, ...]) -> list[SafeString]:
    return [mark_safe(TAPPED.sub(r"<b>\1</b>", escape(line.text, quote=False))) for line in lines]


def _picture(picture: Picture) -> dict:
    source = f"{static(f'guide/{picture.name}.webp')}?{_digest(picture.name)}"
    return {"source": source, "says": picture.says, "width": WIDTH, "height": picture.height}


@cache
def _digest(name: str) -> str:
    """Part of the picture's address, so that it can be kept for ever and still be made anew."""
    return hashlib.sha256((PICTURES / f"{name}.webp").read_bytes()).hexdigest()[:8]
