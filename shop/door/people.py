"""The people of the shop, for the administrators: who may sign in, with which role."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth.password_validation import validate_password
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods

from inventory.measures.inputs import say_plainly
from inventory.models import Role, User
from inventory.web.access import PersonsRequest, administrators_only
from inventory.web.tables import Column, word_list
from inventory.web.transactions import in_one_transaction
from shop.door import slowed
from shop.door.devices import devices_of

MAY = {
    Role.MACHINIST: "finds, plans, issues, returns, inspects, asks for what is missing",
    Role.KEEPER: "does all that, and enters, edits, counts and imports",
    Role.PURCHASING: "finds and plans, works out what to buy, orders and receives",
    Role.ADMINISTRATOR: "may do everything, and enters people",
}
"""What each role may do, in a line."""

COLUMNS = (
    Column("Signs in as", "name"),
    Column("Full name", "full"),
    Column("Role", "role"),
    Column("Last signed in", "last"),
    Column(""),
)
_BY: dict[str, Callable[[User], Any]] = {
    "name": lambda person: person.username.lower(),
    "full": lambda person: person.get_full_name().lower(),
    "role": lambda person: person.get_role_display(),
    "last": lambda person: person.last_login,
}


class PersonForm(forms.ModelForm):
    """One person. A password is asked for a new one, and changes that of another where it is written."""

    role = forms.ChoiceField(
        choices=[(role.value, role.label) for role in MAY],
        help_text=" ".join(f"{role.label.capitalize()}: {may}." for role, may in MAY.items()),
        widget=forms.RadioSelect,
    )
    password = forms.CharField(
        max_length=128,
        strip=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}),
    )

    class Meta:
        model = User
        fields = ("username", "first_name", "last_name", "role", "is_active")
        widgets = {
            "username": forms.TextInput(
                attrs={"autocapitalize": "none", "spellcheck": "false", "autocomplete": "off"},
            ),
        }
        labels = {"username": "Name to sign in with", "is_active": "May sign in"}

    field_order = ["username", "first_name", "last_name", "role", "password", "is_active"]

    def __init__(self, *args: Any, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by, is_new = by, self.instance.pk is None
        fields = self.fields
        fields["username"].help_text = "Short, like sam. Capital letters count."
        fields["is_active"].help_text = "Untick to lock this sign-in; what this person wrote down stays."
        fields["password"].required = is_new
        fields["password"].label = "Password" if is_new else "New password"
        fields["password"].help_text = (
            "At least 12 characters. Give it to the person, who chooses another one at the first sign-in."
            if is_new
            else "Empty: it stays. A new one signs out all phones of this person, and ends a lock."
        )
        if is_new:
            del fields["is_active"]
        if self.instance.pk == by.pk:
            # One's own is changed by who knows the old one, and this device stays signed in.
            del fields["password"]
        say_plainly(fields, {"username": "sam", "password": "two words and a number"})

    def clean_password(self) -> str:
        password = self.cleaned_data["password"]
        if password:
            validate_password(password, self.instance)
        return password

    def clean(self) -> dict[str, Any]:
        super().clean()
        cleaned = self.cleaned_data
        if self.instance.pk == self.by.pk and not self.errors:
            # Somebody has to be left who can let the others in.
            if cleaned["role"] != Role.ADMINISTRATOR:
                self.add_error("role", "You cannot take the administrator's role from yourself; another one can.")
            if not cleaned["is_active"]:
                self.add_error("is_active", "You cannot close your own sign-in; another administrator can.")
        return cleaned

    def save(self, commit: bool = True) -> User:
        password = self.cleaned_data.get("password")
        if password:
            self.instance.set_password(password)
            self.instance.must_change_password = True
            slowed.forget(self.instance.username)
        return super().save(commit)


@require_GET
@administrators_only
def people(request: PersonsRequest) -> HttpResponse:
    context = word_list(
        request,
        User.objects.order_by("-is_active", "username"),
        COLUMNS,
        _BY,
        label="Name or role",
        words_of=lambda person: f"{person} {person.get_full_name()} {person.get_role_display()}",
    )
    return render(request, "shop/people.html", {"place": "desk", **context})


@require_http_methods(["GET", "POST"])
@never_cache
@sensitive_post_parameters("password")
@administrators_only
def person_add(request: PersonsRequest) -> HttpResponse:
    return _form(request, User(), success="{} may sign in now. Tell them the password; it is not shown again.")


@require_http_methods(["GET", "POST"])
@never_cache
@sensitive_post_parameters("password")
@administrators_only
@in_one_transaction
def person_edit(request: PersonsRequest, pk: int) -> HttpResponse:
    if request.method == "POST":
        # In turn: of two administrators who take the role from each other at once, one keeps it.
        list(User.objects.administrators().select_for_update().order_by("pk"))
    return _form(request, get_object_or_404(User, pk=pk), success="{} is changed.")


def _form(request: PersonsRequest, person: User, *, success: str) -> HttpResponse:
    name = str(person) if person.pk else ""
    form = PersonForm(request.POST or None, instance=person, by=request.user)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        messages.success(request, success.format(saved))
        return redirect("people")
    context = {"place": "desk", "form": form, "name": name}
    if person.pk:
        username = User.objects.values_list("username", flat=True).get(pk=person.pk)  # the form may hold another
        context |= {"person": person, "devices": devices_of(person), "refused": slowed.refused(username)}
    return render(request, "shop/person.html", context)
