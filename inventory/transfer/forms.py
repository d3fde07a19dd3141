from django import forms
from django.core.exceptions import ValidationError

from inventory.measures.inputs import say_plainly
from inventory.measures.lengths import Unit, shorten
from inventory.pieces.fields import SHEET_FIELDS
from inventory.transfer import sheets
from inventory.transfer.contents import Content
from inventory.transfer.errors import SheetError
from inventory.transfer.headings import NOTED, tells_pieces
from inventory.transfer.outcomes import label
from inventory.transfer.reading.columns import LEFT_OUT
from inventory.transfer.tabs.own import own_workbook

TOP_ROWS = 30
"""Rows from the top that can be said to be the headings."""


class SheetForm(forms.Form):
    """A sheet to look at; what it would do is told before anything is written."""

    sheet = forms.FileField(
        label="The sheet",
        allow_empty_file=True,
        help_text="A .csv or .xlsx file; up to 5 MB, 20 000 rows and 100 columns.",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.xlsx,.txt,.tsv"}),
    )

    def clean_sheet(self):
        sent = self.cleaned_data["sheet"]
        self.content = sent.read(sheets.MOST_BYTES + 1)
        try:
            self.workbook = own_workbook(self.content, name=sent.name)
            self.grid = sheets.grid(self.content, name=sent.name)
            self.grid.sheet()
        except SheetError as error:
            raise ValidationError(error.message) from None
        return sent


class HeadingsForm(forms.Form):
    """Which row of the sheet has the headings."""

    line = forms.TypedChoiceField(label="The headings are in", coerce=int)

    def __init__(self, data=None, *, rows, **kwargs):
        super().__init__(data, **kwargs)
        self.fields["line"].choices = [
            (number, f"row {number}: {shorten(', '.join(text for text in texts if text.strip()))}")
            for number, texts in enumerate(rows[:TOP_ROWS], start=1)
            if any(text.strip() for text in texts)
        ]
        say_plainly(self.fields)


class MatchForm(forms.Form):
    """What each column of the sheet is; the fields are named by the place of their column."""

    def __init__(self, data=None, *, headings: list[str], contents: list[Content], choices: list[str]):
        super().__init__(data, initial={f"column{place}": choice for place, choice in enumerate(choices)})
        self.headings, self.choices = headings, choices
        for place, (heading, content) in enumerate(zip(headings, contents, strict=True)):
            if heading or not content.is_blank:
                self.fields[f"column{place}"] = self._field(place, heading, content)
        say_plainly(self.fields)

    @staticmethod
    def _field(place: int, heading: str, content: Content) -> forms.ChoiceField:
        samples = ", ".join(f"“{shorten(text)}”" for text in content.samples)
        return forms.ChoiceField(
            label=heading or f"Column {place + 1}, without a heading",
            choices=[
                (NOTED, "goes into the notes"),
                (LEFT_OUT, "left out"),
                *((name, label(name)) for name in SHEET_FIELDS),
            ],
            help_text=f"Says {samples}." if samples else "Says nothing.",
        )

    def clean(self):
        cleaned = super().clean()
        first: dict[str, str] = {}
        for name, choice in list(cleaned.items()):
            if choice in {NOTED, LEFT_OUT}:
                continue
            words = self.fields[name].label
            if choice in first:
                message = f"“{first[choice]}” and “{words}” cannot both be {label(choice)}: choose it for one of them."
                self.add_error(name, message)
            first.setdefault(choice, words)
        if "tag" not in first and not tells_pieces(first):
            raise ValidationError(
                "No column is the tag yet. Choose Tag for the column that says what is etched on the piece."
            )
        return cleaned

    def chosen(self) -> list[str]:
        """The choice for each column; one that is not drawn says nothing and stays as it was."""
        return [self.cleaned_data.get(f"column{place}", choice) for place, choice in enumerate(self.choices)]


class AnswerForm(forms.Form):
    """What the sheet does not settle itself; what is asked has to be answered."""

    unit = forms.ChoiceField(
        label="A number without a unit is in",
        choices=[(Unit.INCH, "inches"), (Unit.MM, "millimetres")],
        widget=forms.RadioSelect,
    )
    dates = forms.ChoiceField(
        label="In dates like 3/4/2026",
        required=False,
        choices=[("mdy", "the month comes first"), ("dmy", "the day comes first")],
        widget=forms.RadioSelect,
    )

    def __init__(self, data=None, *, in_progress):
        sent = in_progress.sent
        unit = sent.unit or ("" if sent.questions.get("unit") else sent.settled_unit)
        super().__init__(data, initial={"unit": unit, "dates": sent.dates})
        self.examples = sent.questions
        if not any(column.field == "inspected_on" for column in in_progress.columns):
            del self.fields["dates"]
        elif sent.questions.get("dates"):
            self.fields["dates"].required = True
        else:
            choices = [("", "as the sheet shows"), *self.fields["dates"].choices]
            self.fields["dates"].choices = choices
        for name, field in self.fields.items():
            field.help_text = " ".join(sent.questions.get(name, ()))
        say_plainly(self.fields)
        for field in self.fields.values():
            field.error_messages["required"] = f"{field.label} …: choose one of the two."
