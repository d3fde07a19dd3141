"""What was ordered comes in: pieces with their tags in the book, or more of what is counted, in one step."""

import uuid

from django import forms
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from inventory.keeping.places import place_named
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import CountInput, MoneyInput, TokenInput, one_line, say_plainly
from inventory.measures.lengths import exact
from inventory.models import CountedMovement, CountedStock, Kind, Tool, Want
from inventory.models.counted import MOST, CountRefused
from inventory.orders.forms import money_text
from inventory.pieces.book import Book
from inventory.pieces.form import PieceForm
from inventory.pieces.tags import free_tags, numbering, tags_from

MOST_PIECES = 200
"""Pieces that come in at once, each with a tag to be etched."""
LINKS = (Kind.CLOSER, Kind.COLLET_CHUCK, Kind.SLEEVE)
MOUNTED = (*LINKS, Kind.DRAWBAR)
_LETTERS = {Kind.COLLET: "C-", Kind.MACHINABLE_COLLET: "C-"}


def kind_of(want: Want) -> Kind | None:
    """The kind of the pieces that it becomes; None where it gets no tag."""
    if want.kind:
        return Kind(want.kind)
    return Kind.COLLET if want.size_id else None


def proposed_tags(kind: Kind, count: int) -> list[str]:
    """The next free tags, counted on from the newest tag of a piece of this kind."""
    prefix, figures = numbering([kind]) or (_LETTERS.get(kind, "P-"), 4)
    return free_tags(prefix, count, figures=figures)


class ReceiveForm(forms.Form):
    """How many came, where they lie, what was paid; of pieces also their tags and what the book has to know."""

    count = CountInput(label="How many came", min_value=1, widget=forms.TextInput(attrs={"inputmode": "numeric"}))
    rest_comes = forms.BooleanField(
        required=False,
        initial=True,
        label="If fewer came, the rest is still to come",
        help_text="The others stay on order. Without the tick they are given up.",
    )
    first_tag = forms.CharField(max_length=20, label="Tag of the first", help_text="The others get the next free ones.")
    location = forms.CharField(
        required=False, max_length=60, label="Drawer or place", widget=forms.TextInput(attrs={"list": "places"})
    )
    price = MoneyInput(
        required=False,
        label="Paid for each",
        help_text="Like 28.50. It becomes the last price paid.",
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    pilot = LengthInput(
        required=False, label="Pilot hole", help_text="[1/16, 2 mm|2, 1/16]. Without it the finder cannot use it."
    )
    mount = forms.CharField(required=False, max_length=40, label="Mounts on", help_text="Its seat: MT5, D1-4, 1-1/2-8.")
    takes = forms.CharField(required=False, max_length=40, help_text="What goes into it: MT2, 5C, ER32.")
    token = TokenInput(initial=uuid.uuid4)

    def __init__(self, data=None, *, want: Want):
        self.want, self.kind = want, kind_of(want)
        self.still_coming = 0
        """How many stay on order, once it is saved."""
        super().__init__(data, initial=self._proposed_values())
        self._count().max_value = MOST_PIECES if self.kind else MOST
        for name in self._not_asked():
            del self.fields[name]
        if want.item_id:
            self.fields["location"].required = True
        say_plainly(self.fields, {"count": "2", "first_tag": "C-0101", "location": "E4"})

    def _count(self) -> CountInput:
        count = self.fields["count"]
        if not isinstance(count, CountInput):
            raise TypeError("How many came is a count.")
        return count

    def _proposed_values(self) -> dict:
        want = self.want
        return {
            "count": want.quantity,
            "first_tag": proposed_tags(self.kind, 1)[0] if self.kind else "",
            "location": self._usual_place(),
            "price": money_text(want.price_cents),
            "mount": want.mount,
            "takes": want.takes,
        }

    def _usual_place(self) -> str:
        """Where the like of it lies."""
        if self.want.item is not None:
            stock = self.want.item.stocks.select_related("location").order_by("pk").first()
            return stock.location.name if stock else ""
        if not self.kind:
            return ""
        alike = Tool.objects.in_service().filter(kind=self.kind).exclude(location=None)
        size = self.want.size
        if size is not None and self.kind == Kind.COLLET:
            near = alike.filter(size__series=size.series_id, size__shape=size.shape)
            same = near.filter(size=size)
            # Below the same size, what is next smaller most likely lies in the same drawer.
            smaller = near.filter(size__nominal__lte=size.nominal).order_by("-size__nominal", "tag")
            place = same.first() or smaller.first() or near.order_by("size__nominal", "tag").first()
        else:
            place = alike.order_by("-pk").first()
        return place.location.name if place and place.location else ""

    def _not_asked(self) -> set[str]:
        names = set()
        if not self.kind:
            names |= {"first_tag"} | (set() if self.want.item_id else {"location"})
        if self.kind != Kind.MACHINABLE_COLLET:
            names.add("pilot")
        if self.kind not in MOUNTED:
            names.add("mount")
        if self.kind not in LINKS:
            names.add("takes")
        if self.want.quantity == 1:
            names.add("rest_comes")
        return names

    def clean_count(self):
        count = self.cleaned_data["count"]
        most = self.fields["count"].max_value
        if count > most:
            raise ValidationError(f"{count} was read; at most {most} come in at once.")
        return count

    def clean_location(self):
        return one_line(self.cleaned_data["location"])

    @property
    def tags(self) -> list[str]:
        """The first tag as it was written, and the next free ones behind it."""
        return tags_from(self.cleaned_data["first_tag"].upper(), self.cleaned_data["count"])

    def save(self, *, by, at) -> list[Tool] | None:
        """Pieces, counts and the want in one transaction; None where it was refused, and the form says why.

        The want is locked by the caller. What came becomes what the want was for; what did not stays on order where
        that was ticked.
        """
        try:
            with transaction.atomic():
                tools = self._enter_pieces(by) if self.kind else []
                if self.want.item_id:
                    self._top_up(by, at)
                self._close(at, tools)
                return tools
        except ValidationError as error:
            self.add_error(None, error.messages)
        except CountRefused as refusal:
            self.add_error("location", str(refusal))
        except IntegrityError:
            # Between the look at the tags and the saving somebody else may have used one.
            if not Tool.objects.filter(tag__in=self.tags if self.kind else ()).exists():
                raise
            self.add_error("first_tag", "One of these tags was put on another piece just now. Nothing was entered.")
        return None

    def _enter_pieces(self, by) -> list[Tool]:
        book, tools, troubles = Book(), [], []
        for tag in self.tags:
            form = PieceForm(self._piece_texts(tag), kind=self.kind, book=book)
            if form.is_valid():
                tools.append(form.save(by=by))
            else:
                troubles += [
                    f"{form.fields[name].label or name}: {message}" if name in form.fields else message
                    for name, messages in form.errors.items()
                    for message in messages
                ]
        if troubles:
            raise ValidationError([*dict.fromkeys(troubles[:5]), "Nothing was entered."])
        return tools

    def _piece_texts(self, tag: str) -> dict[str, str]:
        cleaned, size = self.cleaned_data, self.want.size
        typed = {
            "tag": tag,
            "location": cleaned["location"],
            "condition": "good",
            "cost": money_text(cleaned["price"]),
            "mount": cleaned.get("mount", ""),
            "takes": cleaned.get("takes", ""),
        }
        if size is not None:
            typed |= {"series": size.series.code, "shape": size.shape}
            if self.kind == Kind.MACHINABLE_COLLET:
                typed |= {"pilot": exact(cleaned["pilot"]) if cleaned.get("pilot") else ""}
            else:
                typed |= {"size": exact(size.nominal)}
        elif self.kind == Kind.MACHINABLE_COLLET:
            typed |= {"series": self.want.mount, "pilot": exact(cleaned["pilot"]) if cleaned.get("pilot") else ""}
        if size is None and not self.want.mount and self.kind not in MOUNTED:
            typed["notes"] = self.want.what
        return typed

    def _top_up(self, by, at) -> None:
        cleaned = self.cleaned_data
        stock, _ = CountedStock.objects.get_or_create(item=self.want.item, location=place_named(cleaned["location"]))
        CountedStock.objects.move(
            stock, CountedMovement.What.TOPPED_UP, cleaned["count"], by=by, at=at, token=cleaned["token"]
        )

    def _close(self, at, tools: list[Tool]) -> None:
        want, came = self.want, self.cleaned_data["count"]
        self.still_coming = max(0, want.quantity - came) if self.cleaned_data.get("rest_comes") else 0
        want.state, want.received_at = Want.State.RECEIVED, at
        want.quantity, want.price_cents = came, self.cleaned_data["price"]
        want.save()
        want.pieces.add(*tools)
        if self.still_coming:
            Want.objects.create(
                size=want.size, item=want.item, what=want.what, kind=want.kind, mount=want.mount, takes=want.takes,
                quantity=self.still_coming, state=Want.State.ORDERED, why=want.why, supplier=want.supplier,
                order_number=want.order_number, in_set=want.in_set, price_cents=want.price_cents,
                expected_on=want.expected_on, asked_by=want.asked_by,
            )  # fmt: skip
