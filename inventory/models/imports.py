"""Sheets that were sent to the import page, kept until somebody takes their rows."""

from datetime import timedelta

from django.conf import settings
from django.db import models


class SheetImportQuerySet(models.QuerySet):
    def forgotten(self, *, now):
        """Never taken, and older than a month."""
        return self.waiting().filter(made_at__lt=now - timedelta(days=30))

    def waiting(self):
        """Of which nothing is in the book yet."""
        return self.filter(taken_at=None, entry_began_at=None)

    def half_entered(self):
        """Of which a part is in the book: it is being entered, or that was cut off."""
        return self.filter(taken_at=None, undone_at=None).exclude(entry_began_at=None)

    def for_line(self):
        """Only what a line says of a sheet; what is in it and what it did may be large."""
        columns = ("name", "made_at", "entry_began_at", "taken_at", "undone_at", "made_by__username")
        return self.select_related("made_by").only(*columns)

    def in_progress(self):
        """Sent and not yet taken, with who sent it."""
        return self.filter(taken_at=None).select_related("made_by").defer("content")

    def entered(self):
        """Whose rows are in the book, or were taken back again; the latest first."""
        return self.exclude(taken_at=None).select_related("made_by").defer("content").order_by("-taken_at")


class SheetImport(models.Model):
    """One uploaded sheet and what was said about it; `done` is the report of what was taken.

    `choices` has a word for each column, None until somebody matched them. `questions` are examples of what the sheet
    does not settle itself, by `unit` and `dates`; the answers stand in the columns of these names. What follows them
    is the reading of the rows: how far it is, in which reading, what it made on paper, and how long it took.

    `answered` are the questions about its rows that somebody answered, each a mapping of `key`, `about`, `answer`.
    `workbook_plan` is the report of what a workbook that Gripbook wrote would do; it has no rows and is asked nothing.
    `made_by` is empty for a sheet that was brought in by the command. What it did to the book is in its `book_rows`,
    of which the latest was written at `recorded_at`, empty for one of before they were written down. `undone` names
    what was taken out of the book again and what was put back, complete at `undone_at`.

    A sheet is entered in parts from `entry_began_at` to `taken_at`; meanwhile `done` is what the whole of it does, and
    the rows up to that of the number `entered_upto` are in the book.
    """

    name = models.CharField(max_length=200)
    content = models.BinaryField()
    unread = models.JSONField(default=list, blank=True)
    headings_line = models.PositiveIntegerField(null=True, blank=True)
    choices = models.JSONField(null=True, blank=True)
    questions = models.JSONField(default=dict, blank=True)
    unit = models.CharField(max_length=2, blank=True)
    settled_unit = models.CharField(max_length=2, default="in")
    dates = models.CharField(max_length=3, blank=True)
    reading = models.PositiveIntegerField(default=1)
    read_upto = models.PositiveIntegerField(default=0)
    made_on_paper = models.JSONField(default=dict, blank=True)
    read_ms = models.PositiveIntegerField(default=0)
    answered = models.JSONField(default=list, blank=True)
    workbook_plan = models.JSONField(null=True, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    entry_began_at = models.DateTimeField(null=True, blank=True)
    entered_upto = models.PositiveIntegerField(default=0)
    taken_at = models.DateTimeField(null=True, blank=True)
    done = models.JSONField(null=True, blank=True)
    recorded_at = models.DateTimeField(null=True, blank=True)
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    undone = models.JSONField(null=True, blank=True)

    objects = SheetImportQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return self.name

    @property
    def is_half_entered(self) -> bool:
        """Whether a part of it is in the book: it is being entered, or that was cut off."""
        return self.entry_began_at is not None and self.taken_at is None

    @property
    def answers(self) -> dict[str, str]:
        """What was answered to the questions about its rows, by their key."""
        return {one["key"]: one["answer"] for one in self.answered}


class ImportedRow(models.Model):
    """A row of the book that an import made or changed: its model, its key, and its columns then.

    `before` is empty where the import made it. Columns without a value are left out of both. `written_at` is empty for
    one of before sheets were entered in parts: all rows of those were written at once.
    """

    sheet = models.ForeignKey(SheetImport, on_delete=models.CASCADE, related_name="book_rows")
    model = models.CharField(max_length=40)
    key = models.BigIntegerField()
    before = models.JSONField(null=True, blank=True)
    after = models.JSONField(default=dict)
    written_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["sheet", "model", "key"], name="inventory_imported_row_once_an_import"),
        ]

    def __str__(self) -> str:
        return f"{self.model} {self.key} of {self.sheet}"


class SheetRow(models.Model):
    """One row of an uploaded sheet: its texts, what somebody mended in it, and what would become of it.

    `outcome` is empty until the row was read; `verdict` and `group` are copied from it for lists and counts.
    """

    sheet = models.ForeignKey(SheetImport, on_delete=models.CASCADE, related_name="rows")
    line = models.PositiveIntegerField()
    texts = models.JSONField(default=list)
    mended = models.JSONField(default=dict, blank=True)
    is_left_out = models.BooleanField(default=False)
    outcome = models.TextField(blank=True)
    verdict = models.CharField(max_length=10, blank=True)
    group = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["sheet", "line"]
        constraints = [
            models.UniqueConstraint(fields=["sheet", "line"], name="inventory_sheet_row_line_unique"),
        ]

    def __str__(self) -> str:
        return f"{self.sheet}, row {self.line}"


class KnownHeadingQuerySet(models.QuerySet):
    def choices(self) -> dict[str, str]:
        """What was chosen for each heading."""
        return dict(self.values_list("heading", "choice"))


class KnownHeading(models.Model):
    """What somebody chose for a heading of an earlier sheet: a field, or one of the words beside them."""

    heading = models.CharField(max_length=200, unique=True)
    choice = models.CharField(max_length=20)
    chosen_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    chosen_at = models.DateTimeField(auto_now=True)

    objects = KnownHeadingQuerySet.as_manager()

    class Meta:
        ordering = ["heading"]

    def __str__(self) -> str:
        return f"{self.heading}: {self.choice}"
