"""What labels to print, and on what: the whole choice, as it stands in the address."""

import re

from django import forms
from django.core.exceptions import ValidationError

from inventory.labels import wording
from inventory.labels.grid import LOWEST, NARROWEST, PAPERS, LabelGrid, single
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import say_plainly
from inventory.measures.length_words import shown
from inventory.measures.lengths import Length, Unit
from inventory.models import Location, Tool

MOST_LABELS = 500
MARGINS = ("top", "bottom", "left", "right")
GAPS = ("gap_across", "gap_down")
_LARGEST_GAP = Length.mm(150)
_LONGEST_KEY = 18


_OUTSIDE = (
    *(f"location{'__parent' * deep}__name" for deep in (1, 2, 3)),
    "location__parent__parent__parent__parent",
)
"""The columns that say what the place of a piece stands in."""


class PlacesField(forms.ModelMultipleChoiceField):
    """Places by their keys. The database is asked for all at once, and SQLite fails at one that is too long for it."""

    def clean(self, value):
        if any(len(str(key)) > _LONGEST_KEY for key in value or ()):
            raise ValidationError(self.error_messages["invalid_choice"], code="invalid_choice")
        return super().clean(value)


class GapInput(LengthInput):
    """A distance on the sheet, in millimetres where no unit is written; unlike a size it can be 0."""

    def __init__(self, **kwargs):
        super().__init__(unit=Unit.MM, **kwargs)

    def to_python(self, value):
        if isinstance(value, str) and re.fullmatch(r"\s*0*[.,]?0+\s*(?:in|mm|\")?\s*", value, re.ASCII):
            return Length(0)
        gap = super().to_python(value)
        if gap is not None and gap > _LARGEST_GAP:
            raise ValidationError(f"Read as {shown(gap)}; it accepts 0 to {shown(_LARGEST_GAP)}.")
        return gap


class LabelForm(forms.Form):
    """Which places and pieces get a label, and the sheet they are printed on."""

    place = PlacesField(
        Location.objects.none(), label="Labels for places", required=False, widget=forms.CheckboxSelectMultiple
    )
    drawers = forms.CharField(
        label="Labels for all the pieces in a drawer", required=False, max_length=500, help_text="E2, or E2, E3."
    )
    tags = forms.CharField(
        label="Labels for some pieces",
        required=False,
        max_length=8000,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=f"Their tags, like C-0011, C-0012; at most {MOST_LABELS} at once.",
    )
    most = forms.IntegerField(
        label="Lines of what belongs in a place",
        min_value=0,
        max_value=20,
        initial=wording.LINES,
        help_text="0 to 20; what is more is counted.",
    )
    paper = forms.ChoiceField(
        choices=[(code, paper.words) for code, paper in PAPERS.items()], initial="a4", widget=forms.RadioSelect
    )
    columns = forms.IntegerField(min_value=1, max_value=10, initial=2, help_text="1 to 10.")
    rows = forms.IntegerField(min_value=1, max_value=30, initial=7, help_text="1 to 30.")
    top = GapInput(label="Margin at the top", initial="14 mm", help_text="Millimetres, or with in.")
    bottom = GapInput(label="At the bottom", initial="14 mm")
    left = GapInput(label="At the left", initial="8 mm")
    right = GapInput(label="At the right", initial="8 mm")
    gap_across = GapInput(label="Gap between columns", initial="4 mm")
    gap_down = GapInput(label="Gap between rows", initial="0 mm")
    first = forms.IntegerField(
        label="First free label",
        min_value=1,
        max_value=300,
        initial=1,
        help_text="For a sheet that is used in part: counted along the rows from the top.",
    )
    edges = forms.BooleanField(label="Draw the edges, to cut from plain paper", required=False, initial=True)

    def __init__(self, data=None, **kwargs):
        super().__init__(data, **kwargs)
        if data is not None:
            self.data = self._with_defaults(data)
        self.fields["place"].queryset = Location.objects.order_by("name")
        say_plainly(self.fields, dict.fromkeys((*MARGINS, *GAPS), "5 mm"))
        self.fields["place"].error_messages["invalid_choice"] = "A place is no longer in Gripbook. Choose again."

    def _with_defaults(self, data):
        """What an address leaves out is as the page has it at first; a box that is not ticked is never sent."""
        filled = data.copy()
        for name, field in self.fields.items():
            if field.initial is not None and name not in data and not isinstance(field, forms.BooleanField):
                filled[name] = field.initial
        return filled

    def clean_tags(self):
        tags = list(dict.fromkeys(self.cleaned_data["tags"].upper().replace(",", " ").split()))
        tools = {tool.tag: tool for tool in Tool.objects.only("tag").filter(tag__in=tags)}
        if unknown := [tag for tag in tags if tag not in tools]:
            raise ValidationError(f"No piece is tagged {', '.join(unknown[:5])}. Write tags that are in Gripbook.")
        return [tools[tag] for tag in tags]

    def clean_drawers(self):
        names = [name.strip() for name in self.cleaned_data["drawers"].split(",") if name.strip()]
        places = [Location.objects.filter(name__iexact=name).first() for name in names]
        if unknown := [name for name, place in zip(names, places, strict=True) if place is None]:
            raise ValidationError(f"There is no place called {', '.join(unknown[:5])}. Write the name on the drawer.")
        return places

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        count = len(cleaned["place"]) + self._pieces().count()
        if not count:
            raise ValidationError("Nothing is chosen. Tick a place, or write a drawer or a tag.")
        if count > MOST_LABELS:
            raise ValidationError(f"{count} labels are chosen. Take at most {MOST_LABELS} at once.")
        self._check(self.grid)
        return cleaned

    def _check(self, grid: LabelGrid):
        if not grid.is_large_enough:
            size = " × ".join(f"{max(side.nm, 0) // 1_000_000} mm" for side in (grid.label_width, grid.label_height))
            least = f"{NARROWEST.mm_text.partition('.')[0]} mm × {LOWEST.mm_text.partition('.')[0]} mm"
            raise ValidationError(
                f"A label would be {size}. Its name and code need {least}: "
                "take fewer columns or rows, or smaller margins."
            )
        if self.cleaned_data["first"] > grid.holds and not grid.paper.is_single:
            self.add_error("first", f"A sheet has {grid.holds} labels. Write 1 to {grid.holds}.")

    @property
    def grid(self) -> LabelGrid:
        chosen = self.cleaned_data
        paper = PAPERS[chosen["paper"]]
        if paper.is_single:
            return single(paper)
        return LabelGrid(paper=paper, **{name: chosen[name] for name in ("columns", "rows", *MARGINS, *GAPS)})

    @property
    def begins_at(self) -> int:
        """The position on the first sheet, from 1 on."""
        return 1 if self.grid.paper.is_single else self.cleaned_data["first"]

    def labels(self) -> list[wording.Label]:
        """Of the places in the order of their names, then of the pieces as they lie on the rack."""
        places = self.cleaned_data["place"].select_related("parent__parent__parent")
        places = places.prefetch_related(*wording.WITH_BELONGINGS)
        pieces = self._pieces().for_line(*_OUTSIDE).select_related("location__parent__parent__parent").along_the_rack()
        of_places = [wording.of_place(place, most=self.cleaned_data["most"]) for place in places]
        return of_places + [wording.of_piece(tool) for tool in pieces]

    def _pieces(self):
        keys = [tool.pk for tool in self.cleaned_data["tags"]]
        inside = Tool.objects.in_book().filter(location__in=self.cleaned_data["drawers"])
        return inside | Tool.objects.filter(pk__in=keys)
