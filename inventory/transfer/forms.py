from django import forms
from django.core.exceptions import ValidationError

from inventory.lengths import Unit
from inventory.transfer import headings, sheets
from inventory.transfer.advice import PAGE
from inventory.transfer.sheets import SheetError


class SheetForm(forms.Form):
    """A sheet to look at; what it would do is told before anything is written."""

    sheet = forms.FileField(
        label="The sheet",
        allow_empty_file=True,
        help_text="A .csv or .xlsx file with headings in its first row; up to 5 MB and 20 000 rows.",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.xlsx,.txt,.tsv"}),
    )
    unit = forms.ChoiceField(
        label="A size without a unit is in",
        choices=[(Unit.INCH, "inches"), (Unit.MM, "millimetres")],
        initial=Unit.INCH,
    )
    dates = forms.ChoiceField(
        label="In dates like 3/4/2026",
        required=False,
        choices=[("", "read what is certain"), ("mdy", "the month comes first"), ("dmy", "the day comes first")],
    )

    def clean_sheet(self):
        sent = self.cleaned_data["sheet"]
        self.content = sent.read(sheets.MOST_BYTES + 1)
        try:
            headings.columns(sheets.read(self.content, name=sent.name).headings, advice=PAGE)
        except SheetError as error:
            raise ValidationError(error.message) from None
        return sent
