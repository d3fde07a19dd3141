"""`manage.py arithmetic`: one sum of the shop."""

import json
import sys

from django.core.management.base import BaseCommand

from fitfinder.answer_json import error_json
from fitfinder.arithmetic_json import sum_json, sums_json
from fitfinder.arithmetic_text import sum_text, sums_text
from fitfinder.setups import QuestionError, sum_named
from inventory.lengths import Unit, shorten


class Command(BaseCommand):
    help = "One sum of the shop, like: arithmetic set-over length=10 ratio=20. Without a name, all of them."
    # Nothing here asks the database or the deployment.
    requires_system_checks = ()

    def add_arguments(self, parser):
        parser.add_argument("name", nargs="?", default="", help="tir, packing, set-over …; none lists them all")
        parser.add_argument("values", nargs="*", metavar="key=value", help="diameter=3/4, force=100lbf, ratio=20 …")
        parser.add_argument("--unit", default="in", help="in or mm, for bare numbers")
        parser.add_argument("--json", action="store_true", help="print the sum as JSON")

    def handle(self, *, json: bool, **options):
        if not options["name"]:
            self.stdout.write(_dumped(sums_json()) if json else sums_text())
            return
        try:
            asked = sum_named(options["name"])
            worked = asked.worked(_by_key(options["values"]), unit=_unit(options["unit"]))
        except QuestionError as error:
            self._refuse(error, as_json=json)
        self.stdout.write(_dumped(sum_json(worked)) if json else sum_text(asked, worked))

    def _refuse(self, error: QuestionError, *, as_json: bool):
        if as_json:
            self.stdout.write(_dumped(error_json(error)))
        else:
            self.stderr.write(f"{error.field}: {error.message}")
        sys.exit(2)


def _by_key(values: list[str]) -> dict[str, str]:
    texts = {}
    for value in values:
        key, is_pair, text = value.partition("=")
        key = key.strip()
        if not is_pair or not key:
            message = f"“{shorten(value)}” is no key and value. Write it like diameter=3/4, without spaces or quoted."
            raise QuestionError(message, field="key", read=shorten(value))
        if key in texts:
            message = f"{shorten(key)} was given twice, “{shorten(texts[key])}” and “{shorten(text)}”. Give it once."
            raise QuestionError(message, field=shorten(key), read=shorten(text))
        texts[key] = text
    return texts


def _unit(text: str) -> Unit:
    if text not in list(Unit):
        raise QuestionError(f"“{shorten(text)}” is no unit. Write in or mm.", field="unit", read=shorten(text))
    return Unit(text)


def _dumped(value: dict) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2)
