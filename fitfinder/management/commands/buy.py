"""`manage.py buy`: what to buy for the demand on file."""

from time import monotonic

from fitfinder.buying.form import budget_from
from fitfinder.buying.reader import Purchasing
from fitfinder.buying.telling import as_json, as_text
from fitfinder.management.answering import AnsweringCommand
from fitfinder.questions import QuestionError


class Command(AnsweringCommand):
    help = "What to buy for the demand on file: all of it at least cost, or the most of it for a budget."

    def add_arguments(self, parser):
        super().add_arguments(parser)
        parser.add_argument("--budget", default="", help="an amount like 400 or 184.50; without it all is bought")

    def handle(self, *, json: bool, budget: str, **options):
        try:
            cents = budget_from(budget)
        except QuestionError as error:
            self.refuse(error, as_json=json)
        began = monotonic()
        buy = Purchasing().buy_list(budget=cents)
        seconds = monotonic() - began
        if json:
            self.print_json(as_json(buy))
        else:
            self.stdout.write(as_text(buy, seconds=seconds))
