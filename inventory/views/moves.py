"""A piece gets another place."""

from django import forms
from django.contrib import messages
from django.db import transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from inventory.measures.inputs import say_plainly
from inventory.models import Location, Tool
from inventory.pieces.book import Book
from inventory.views.keeping import tell_new_places
from inventory.web.access import keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from


class MoveForm(forms.Form):
    """Where the piece belongs from now on."""

    to = forms.CharField(
        max_length=60,
        label="Its new place",
        help_text="The name of a drawer, like A2. A new name makes a new place.",
        widget=forms.TextInput(attrs={"list": "places", "autocomplete": "off"}),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"to": "A2"})

    def clean_to(self):
        name = " ".join("".join(letter for letter in self.cleaned_data["to"] if letter.isprintable()).split())
        if not name:
            raise forms.ValidationError("Nothing was read. Write the name of a drawer, like A2.")
        return name


@require_http_methods(["GET", "POST"])
@keepers_only
def tool_move(request, tag):
    if request.method == "POST":
        return _moved(request, tag)
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    return _page(request, tool, MoveForm())


@transaction.atomic
def _moved(request, tag):
    """Locked from the look at its history on: sent twice, or late, it does not undo what somebody else did."""
    tool = get_object_or_404(Tool.objects.for_list().select_for_update(of=("self",)), tag=tag.upper())
    form = MoveForm(request.POST)
    if not form.is_valid():
        return _page(request, tool, form)
    book = Book()
    to = book.place(form.cleaned_data["to"])
    if tool.location_id == to.pk:
        messages.info(request, f"{tool} belongs in {to.path} already.")
    elif meanwhile := changed_meanwhile(tool, request.POST):
        form.add_error(None, meanwhile)
        return _page(request, tool, form)
    else:
        tool.location = to
        tool.save()
        messages.success(request, f"{tool} belongs in {to.path} now.")
        tell_new_places(request, book)
    return redirect(tool)


def _page(request, tool, form):
    context = {"place": "tooling", "tool": tool, "form": form, "drawn_from": drawn_from(tool)}
    return render(request, "inventory/tool_move.html", {**context, "places": Location.objects.in_use()})
