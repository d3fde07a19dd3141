"""What a job took, told by its setup sheet: who had which piece, what was read and found on it, and what that costs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from fractions import Fraction

from django.utils import timezone
from msgspec import Struct

from inventory.measures.length_words import runout_text
from inventory.models import Condition, Inspection, Loan, SetupSheet, Tool
from inventory.models.prices import PriceBook

MOST_LOANS = 500
LOOKED_AT_WITHIN = timedelta(hours=12)
"""What is found on a piece so soon after it came back was done to it by this job, unless it went out again meanwhile:
a shift inspects what it brings back, or the next one does (common practice)."""
_SPOILED = (Condition.DAMAGED, Condition.SCRAPPED)


class JobInspection(Struct, frozen=True, kw_only=True):
    """One inspection of a piece that the job had; `words` say what was read, and what was before."""

    inspection: Inspection
    words: str

    @property
    def is_damage(self) -> bool:
        return self.inspection.verdict in _SPOILED


class JobLoan(Struct, frozen=True, kw_only=True):
    """One piece that was out for the job, how long, and what was read or found on it."""

    loan: Loan
    minutes: Fraction
    inspections: tuple[JobInspection, ...]


class SpoiledPiece(Struct, frozen=True):
    """A piece that the job damaged, and what another one costs; None where no price is known."""

    tool: Tool
    words: str
    cents: int | None


class JobReport(Struct, frozen=True, kw_only=True):
    loans: tuple[JobLoan, ...]
    spoiled: tuple[SpoiledPiece, ...]
    run_minutes: Fraction | None
    """What the runs took that were written down; None where none was."""
    run_parts: int
    runs: int

    @property
    def cents(self) -> int | None:
        """What it costs to replace what was damaged, as far as prices are known; None where none is."""
        known = [one.cents for one in self.spoiled if one.cents is not None]
        return sum(known) if known else None

    @property
    def unpriced(self) -> int:
        return sum(1 for one in self.spoiled if one.cents is None)


def job_report(sheet: SetupSheet, *, at: datetime) -> JobReport:
    rows = sheet.loans.select_related(
        "tool__size__series", "tool__location", "borrower", "issued_by", "returned_by", "lathe"
    )
    loans = sorted(rows.order_by("-issued_at", "-pk")[:MOST_LOANS], key=lambda loan: (loan.issued_at, loan.pk))
    inspections = _inspections(loans)
    later = _later_loans(loans)
    job_loans = tuple(_job_loan(loan, inspections.get(loan.tool_id, []), later, at=at) for loan in loans)
    runs = list(sheet.runs.all())
    minutes = [run.setup_hundredths or 0 for run in runs]
    minutes += [(run.part_hundredths or 0) * run.parts for run in runs]
    return JobReport(
        loans=job_loans,
        spoiled=tuple(_spoiled(job_loans)),
        run_minutes=Fraction(sum(minutes), 100) if runs else None,
        run_parts=sum(run.parts for run in runs),
        runs=len(runs),
    )


def _inspections(loans: Iterable[Loan]) -> dict[int, list[Inspection]]:
    """By the piece, all that stands, the oldest first."""
    by_piece: dict[int, list[Inspection]] = {}
    rows = Inspection.objects.standing().filter(tool__in={loan.tool_id for loan in loans})
    for row in rows.select_related("recorded_by").order_by("recorded_at", "pk"):
        by_piece.setdefault(row.tool_id, []).append(row)
    return by_piece


def _later_loans(loans: Iterable[Loan]) -> dict[int, list[datetime]]:
    """By the piece, when it was issued, for whatever job."""
    issued: dict[int, list[datetime]] = {}
    keys = {loan.tool_id for loan in loans}
    for tool, at in Loan.objects.filter(tool__in=keys).order_by("issued_at").values_list("tool", "issued_at"):
        issued.setdefault(tool, []).append(at)
    return issued


def _job_loan(loan: Loan, rows: list[Inspection], issued: dict[int, list[datetime]], *, at: datetime) -> JobLoan:
    until = _until(loan, issued.get(loan.tool_id, []), at=at)
    back = loan.returned_at or max(at, loan.issued_at)
    return JobLoan(
        loan=loan,
        minutes=Fraction(int((back - loan.issued_at).total_seconds()), 60),
        inspections=tuple(
            JobInspection(inspection=row, words=_inspection_in_words(row, rows))
            for row in rows
            if loan.issued_at <= row.recorded_at <= until and _was_taken_meanwhile(row, loan)
        ),
    )


def _until(loan: Loan, issued: list[datetime], *, at: datetime) -> datetime:
    if loan.returned_at is None:
        return max(at, loan.issued_at)
    again = next((moment for moment in issued if moment > loan.issued_at), None)
    until = loan.returned_at + LOOKED_AT_WITHIN
    return until if again is None else min(until, max(again, loan.returned_at))


def _was_taken_meanwhile(row: Inspection, loan: Loan) -> bool:
    """Whether it was not taken before the job and only written down during it."""
    return row.taken_on is None or row.taken_on >= timezone.localdate(loan.issued_at)


def _inspection_in_words(row: Inspection, rows: list[Inspection]) -> str:
    """`0.0008 in TIR, before 0.0005 in; cracked, called damaged`."""
    parts = []
    if row.tir is not None:
        older = [
            one.tir for one in rows if one.tir is not None and (one.recorded_at, one.pk) < (row.recorded_at, row.pk)
        ]
        before = f", before {runout_text(older[-1])}" if older and older[-1] is not None else ""
        parts.append(f"{runout_text(row.tir)} TIR{before}")
    parts += [row.finding, f"called {row.verdict}" if row.verdict else "", " ".join(row.note.split())]
    return "; ".join(part for part in parts if part) or "inspected"


def _spoiled(loans: Iterable[JobLoan]) -> Iterator[SpoiledPiece]:
    """Each piece once, by the last that was found on it."""
    last: dict[int, tuple[Tool, str]] = {}
    for one in loans:
        for inspection in one.inspections:
            if inspection.is_damage:
                last[one.loan.tool_id] = (one.loan.tool, inspection.words)
    prices = PriceBook() if last else None
    for tool, words in last.values():
        cents = prices.of(tool.size) if prices is not None and tool.size is not None else None
        yield SpoiledPiece(tool, words, cents if cents is not None else tool.cost_cents)


def damaged_since(since: datetime) -> list[tuple[Inspection, Loan | None]]:
    """What was called damaged or scrapped from then on, each piece once, with the loan that it came from.

    The return and the inspection after it may both say it: the last says most. The newest first.
    """
    rows = Inspection.objects.standing().filter(verdict__in=_SPOILED, recorded_at__gte=since)
    last: dict[int, Inspection] = {}
    for row in rows.select_related("tool__size__series", "tool__location", "recorded_by")[:MOST_LOANS]:
        last.setdefault(row.tool_id, row)
    spoiled = list(last.values())
    loans = Loan.objects.filter(tool__in={row.tool_id for row in spoiled}).select_related("borrower", "sheet")
    by_piece: dict[int, list[Loan]] = {}
    for loan in loans.order_by("issued_at"):
        by_piece.setdefault(loan.tool_id, []).append(loan)
    return [(row, _came_from(row, by_piece.get(row.tool_id, []))) for row in spoiled]


def _came_from(row: Inspection, loans: list[Loan]) -> Loan | None:
    before = [loan for loan in loans if loan.issued_at <= row.recorded_at]
    last = before[-1] if before else None
    if last is None or (last.returned_at is not None and row.recorded_at > last.returned_at + LOOKED_AT_WITHIN):
        return None
    return last
