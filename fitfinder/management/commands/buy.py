"""`manage.py buy`: what to buy for the demand on file."""

import json
import re
import sys
from time import monotonic

from django.core.management.base import BaseCommand

from fitfinder.answer_json import error_json
from fitfinder.buy_json import buy_json
from fitfinder.buy_text import buy_text
from fitfinder.purchases import budget_from, to_buy
from fitfinder.stock import QuestionError


class Command(BaseCommand):
    help = "What to buy for the demand on file: all of it at least cost, or the most of it for a budget."

    def add_arguments(self, parser):
        # “-5” is a budget that is to be refused by name, not an option.
        parser._negative_number_matcher = re.compile(r"-[0-9.,]")
        parser.add_argument("--budget", default="", help="an amount like 400 or 184.50; without it all is bought")
        parser.add_argument("--json", action="store_true", help="print the list as JSON")

    def handle(self, *, json: bool, budget: str, **options):
        try:
            cents = budget_from(budget)
        except QuestionError as error:
            self._refuse(error, as_json=json)
        began = monotonic()
        found = to_buy(budget=cents)
        seconds = monotonic() - began
        self.stdout.write(_dumped(buy_json(found)) if json else buy_text(found, seconds=seconds))

    def _refuse(self, error: QuestionError, *, as_json: bool):
        if as_json:
            self.stdout.write(_dumped(error_json(error)))
        else:
            self.stderr.write(f"{error.field}: {error.message}")
        sys.exit(2)


def _dumped(value: dict) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2)
