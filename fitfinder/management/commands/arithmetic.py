"""`manage.py arithmetic`: one sum of the shop."""

from fitfinder.arithmetic.sums import sum_named
from fitfinder.arithmetic.telling import sum_json, sum_text, sums_json, sums_text
from fitfinder.management.answering import AnsweringCommand
from fitfinder.questions import QuestionError, unit_named
from inventory.measures.display import now
from inventory.measures.lengths import shorten


class Command(AnsweringCommand):
    help = "One sum of the shop, like: arithmetic set-over length=10 ratio=20. Without a name, all of them."

    def add_arguments(self, parser):
        super().add_arguments(parser)
        parser.add_argument("name", nargs="?", default="", help="tir, packing, set-over …; none lists them all")
        parser.add_argument("values", nargs="*", metavar="key=value", help="diameter=3/4, force=100lbf, ratio=20 …")
        parser.add_argument("--unit", default="", help="in or mm, for bare numbers; left out, the shop's")

    def handle(self, *, json: bool, **options):
        if not options["name"]:
            if json:
                self.print_json(sums_json())
            else:
                self.stdout.write(sums_text())
            return
        try:
            asked = sum_named(options["name"])
            worked = asked.worked(_by_key(options["values"]), unit=unit_named(options["unit"] or now().shop_unit))
        except QuestionError as error:
            self.refuse(error, as_json=json)
        if json:
            self.print_json(sum_json(worked))
        else:
            self.stdout.write(sum_text(asked, worked))


def _by_key(values: list[str]) -> dict[str, str]:
    texts: dict[str, str] = {}
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
