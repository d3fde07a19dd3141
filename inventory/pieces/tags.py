"""The numbers that the next tags get."""

import itertools
import re
from collections.abc import Iterable

from inventory.models import Kind, Tool
from inventory.models.kinds import GROUPS

LONGEST = 20
_NUMBERED = re.compile(r"(.*?)([0-9]{1,9})", re.ASCII)


def free_tags(prefix: str, count: int, *, figures: int = 4) -> list[str]:
    """The next numbers after the highest that follows this prefix on any piece, the retired ones too."""
    numbered = re.compile(re.escape(prefix) + "([0-9]+)", re.ASCII)
    tags = Tool.objects.filter(tag__startswith=prefix).values_list("tag", flat=True)
    highest = max((int(numbered_tag[1]) for tag in tags if (numbered_tag := numbered.fullmatch(tag))), default=0)
    return [f"{prefix}{number:0{figures}d}" for number in range(highest + 1, highest + 1 + count)]


def tags_from(first: str, count: int) -> list[str]:
    """This tag and the next free ones behind it; behind one without a number such as have one."""
    numbered = _NUMBERED.fullmatch(first)
    if count == 1:
        return [first]
    if not numbered:
        return [first, *free_tags(f"{first}-", count - 1)]
    prefix, number, figures = numbered[1], int(numbered[2]), len(numbered[2])
    used = set(Tool.objects.filter(tag__startswith=prefix).values_list("tag", flat=True))
    behind = (f"{prefix}{next_one:0{figures}d}" for next_one in itertools.count(number + 1))
    return [first, *itertools.islice((tag for tag in behind if tag not in used), count - 1)]


def numbering(kinds: Iterable[str]) -> tuple[str, int] | None:
    """What stands before the number of the newest piece of these kinds, and how many figures that has."""
    newest = Tool.objects.filter(kind__in=kinds).order_by("-pk").values_list("tag", flat=True).first()
    numbered = _NUMBERED.fullmatch(newest or "")
    return (numbered[1], len(numbered[2])) if numbered else None


def next_tag(kind: Kind) -> str:
    """The next free tag, as pieces of this kind or else of its group are numbered; empty where none is yet."""
    group = next((kinds for kinds in GROUPS.values() if kind in kinds), ())
    usual = numbering([kind]) or numbering(group)
    if usual is None:
        return ""
    prefix, figures = usual
    tag = free_tags(prefix, 1, figures=figures)[0]
    return tag if len(tag) <= LONGEST else ""
