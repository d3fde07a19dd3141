"""A page as a program reads it: its elements, what names what, its forms and what can be typed in them."""

from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser
from urllib.parse import urljoin

_NEVER_CLOSED = {"br", "hr", "img", "input", "link", "meta", "source", "wbr"}
_CLOSED_BY_THE_NEXT = {"li": {"li"}, "dt": {"dt", "dd"}, "dd": {"dt", "dd"}, "option": {"option"}}
_TYPED_IN = {"text", "search", "number", "date", "email", "tel", "url"}


@dataclass(eq=False)
class Element:
    tag: str
    attributes: dict[str, str]
    within: "Element | None"
    texts: list[str] = field(default_factory=list)

    def __getitem__(self, name):
        return self.attributes.get(name)

    @property
    def text(self):
        return " ".join("".join(self.texts).split())

    @property
    def is_typed(self):
        return self.tag == "textarea" or (self.tag == "input" and (self["type"] or "text") in _TYPED_IN)

    @property
    def value(self):
        """What stands in a field that is typed into."""
        return self.text if self.tag == "textarea" else self["value"] or ""

    def around(self):
        """The elements that this one stands in, the nearest first."""
        element = self.within
        while element is not None:
            yield element
            element = element.within


class Page(HTMLParser):
    """What stands in the HTML of one page."""

    def __init__(self, html: str, address: str = "/"):
        super().__init__(convert_charrefs=True)
        self.address = address
        self.elements: list[Element] = []
        self._open: list[Element] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attributes):
        if self._open and self._open[-1].tag in _CLOSED_BY_THE_NEXT.get(tag, ()):
            self._open.pop()
        element = Element(
            tag, {name: value or "" for name, value in attributes}, self._open[-1] if self._open else None
        )
        self.elements.append(element)
        if tag not in _NEVER_CLOSED:
            self._open.append(element)

    def handle_endtag(self, tag):
        while self._open and any(element.tag == tag for element in self._open):
            if self._open.pop().tag == tag:
                break

    def handle_data(self, data):
        for element in self._open:
            element.texts.append(data)

    def all(self, *tags):
        return [element for element in self.elements if element.tag in tags]

    @cached_property
    def by_id(self):
        return {element["id"]: element for element in self.elements if element["id"]}

    @property
    def title(self):
        return self.all("title")[0].text

    def links(self):
        """Where the links of the page lead, inside the site and without their anchors."""
        found = (urljoin(self.address, link["href"]).partition("#")[0] for link in self.all("a") if link["href"])
        return [address for address in found if address.startswith("/")]

    def forms(self):
        return [Form(self, element) for element in self.all("form")]


@dataclass
class Form:
    page: Page
    element: Element

    @property
    def method(self):
        return (self.element["method"] or "get").lower()

    @property
    def action(self):
        return urljoin(self.page.address, self.element["action"] or self.page.address)

    @cached_property
    def fields(self):
        """Every part of the form that sends something, in the order of the page."""
        return [
            part
            for part in self.page.all("input", "select", "textarea", "button")
            if part["name"] and (part["form"] == (self.element["id"] or "?") or self.element in part.around())
        ]

    @property
    def typed(self):
        """The fields that somebody types into, but for passwords, which no page gives back."""
        return [part for part in self.fields if part.is_typed and "hidden" not in part.attributes]

    def sent(self):
        """What a browser sends when nothing is touched: a dict of lists, without the files."""
        sent = {}
        for part in self.fields:
            value = self._value(part)
            if value is not None:
                sent.setdefault(part["name"], []).append(value)
        return sent

    def _value(self, part):
        if part.tag == "button" or part["type"] in {"submit", "file"}:
            return None
        if part["type"] in {"radio", "checkbox"}:
            return (part["value"] or "on") if "checked" in part.attributes else None
        return self._chosen(part) if part.tag == "select" else part.value

    def _chosen(self, select):
        options = [option for option in self.page.all("option") if select in option.around()]
        chosen = [option for option in options if "selected" in option.attributes] or options[:1]
        return next(((o["value"] if "value" in o.attributes else o.text) for o in chosen), None)
