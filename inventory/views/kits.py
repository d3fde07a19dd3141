"""Several pieces taken together: a setup sheet, a rack, a drawer."""

import uuid
from dataclasses import dataclass, field

from django.db import transaction
from django.utils import timezone

from inventory.models import Loan, Tool
from inventory.models.loans import AlreadyOut
from inventory.views.facts import why_not_issued


@dataclass
class Together:
    """What was issued, what the asker had already, and what was not, each with its sentence."""

    issued: list[Tool] = field(default_factory=list)
    had: list[Tool] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)


@transaction.atomic
def issue_together(tools, *, to, token: uuid.UUID, due_on=None, by=None) -> Together:
    """Issue what can be issued of these pieces, the rest with its reason; the same token again changes nothing.

    `by` is who hands them out, where that is not who takes them.
    """
    done = Together()
    ids = [tool.pk for tool in tools]
    # In one order, so that two who take the same pieces wait for each other and do not block each other.
    for tool in Tool.objects.filter(pk__in=ids).order_by("pk").select_for_update(of=("self",)):
        standing = tool.loans.open().select_related("borrower").first()
        if standing is not None and standing.borrower_id == to.pk:
            done.had.append(tool)
        elif standing is not None:
            done.refused.append(f"{tool} is out to {standing.borrower}, since {standing.issued_at:%Y-%m-%d}.")
        elif reason := why_not_issued(tool):
            done.refused.append(reason)
        else:
            _issue(tool, to, uuid.uuid5(token, str(tool.pk)), due_on, done, by)
    return done


def _issue(tool: Tool, to, token: uuid.UUID, due_on, done: Together, by) -> None:
    try:
        loan = Loan.objects.issue(tool=tool, to=to, at=timezone.now(), token=token, due_on=due_on, by=by)
    except AlreadyOut as out:
        done.refused.append(f"{tool} is out to {out.loan.borrower}, since {out.loan.issued_at:%Y-%m-%d}.")
        return
    # The token of a loan that was ended since: this page was used before, and the piece is back in its drawer.
    if loan.returned_at is not None:
        done.refused.append(f"{tool} was returned since this page was made.")
    else:
        done.issued.append(tool)
