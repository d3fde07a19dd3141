"""The form of a set of jaws."""

from django import forms
from django.db import transaction

from inventory.measures.inputs import SizeInput, TokenInput, one_line, say_plainly
from inventory.measures.lengths import exact
from inventory.models import Condition, JawSet, Location
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces.fields import LARGEST_HELD
from inventory.web.editing import columns_of


def _held(label: str, hint: str) -> SizeInput:
    return SizeInput(required=False, label=label, help_text=hint, at_most=LARGEST_HELD)


class JawSetForm(forms.ModelForm):
    """One set of jaws of a chuck, new or in the book."""

    token = TokenInput()
    kind = forms.ChoiceField(
        choices=[(value, value) for value in JawSet.Kind.values],
        widget=forms.RadioSelect,
        help_text="Hard jaws for outside or for inside, or soft jaws that are bored in place.",
    )
    mark = forms.CharField(required=False, max_length=30, label="Marked", help_text="What is stamped on them.")
    outside_smallest = _held("Holds outside, from", "The smallest, like 1/8. Not asked of soft jaws.")
    outside_largest = _held("Holds outside, to", "The largest; not below the smallest, up to 60 in.")
    inside_smallest = _held("Holds inside, from", "The smallest bore that they hold from within.")
    inside_largest = _held("Holds inside, to", "The largest; not below the smallest, up to 60 in.")
    bored_to = _held("Last bored to", "Soft jaws only; they are counted on for that size and no other.")
    condition = forms.ChoiceField(choices=[(value, value) for value in Condition.values])
    place = forms.CharField(
        required=False,
        max_length=60,
        label="Drawer or place",
        help_text="Where they lie while they are not in the chuck.",
        widget=forms.TextInput(attrs={"list": "places"}),
    )
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 2}))

    class Meta:
        model = JawSet
        fields = (
            "token", "kind", "mark", "outside_smallest", "outside_largest", "inside_smallest", "inside_largest",
            "bored_to", "condition", "place", "notes",
        )  # fmt: skip

    def __init__(self, *args, chuck, instance=None, **kwargs):
        self.chuck = chuck
        if instance is not None:
            place = instance.location.name if instance.location else ""
            kwargs["initial"] = {"token": instance.token, "place": place, **kwargs.get("initial", {})}
        super().__init__(*args, instance=instance, **kwargs)
        self._was = columns_of(self.instance) if instance is not None else None
        self.instance.chuck = chuck
        self.has_changed_jaws = False
        say_plainly(self.fields)

    def clean(self):
        cleaned = super().clean()
        soft = cleaned.get("kind") == JawSet.Kind.SOFT
        for side in ("outside", "inside"):
            low, high = cleaned.get(f"{side}_smallest"), cleaned.get(f"{side}_largest")
            if low is not None and high is not None and high < low:
                self.add_error(f"{side}_largest", f"{exact(high)} is below the smallest size, {exact(low)}.")
        if cleaned.get("bored_to") is not None and not soft:
            self.add_error("bored_to", "Only soft jaws are bored to a size: choose soft, or leave this empty.")
        if soft and {cleaned.get("outside_smallest"), cleaned.get("outside_largest")} != {None}:
            self.add_error(
                "outside_smallest", "Soft jaws hold the size that they were bored to: write it there, not a range."
            )
        if self.instance.is_in and cleaned.get("condition") not in USABLE_CONDITIONS:
            self.add_error("condition", f"These jaws are in {self.chuck}. Put other jaws in it first.")
        return cleaned

    def _get_validation_exclusions(self):
        # The token of a tap that was sent again is looked for by `save`, which answers with the first one's jaws.
        return super()._get_validation_exclusions() | {"token"}

    @transaction.atomic
    def save(self, commit=True):
        """The jaws in the book, and the chuck's ranges with them where they are in it."""
        if self.instance.pk is None:
            standing = JawSet.objects.filter(token=self.cleaned_data["token"], chuck=self.chuck).first()
            if standing is not None:
                return standing
        self.instance.token = self.cleaned_data["token"] if self.instance.pk is None else self._was["token"]
        self.instance.location = self._location()
        self.has_changed_jaws = columns_of(self.instance) != self._was
        if self.has_changed_jaws:
            super().save(commit=commit)
            self.instance.carry_over()
        return self.instance

    def _location(self) -> Location | None:
        name = one_line(self.cleaned_data["place"])
        if not name:
            return None
        place = Location.objects.filter(name__iexact=name).first() or Location.objects.create(name=name)
        place.take_back()
        return place
