"""What every command that answers a question does alike: the question's numbers, JSON, and what cannot be read."""

import json
import re
import sys
from typing import Any, NoReturn

from django.core.management.base import BaseCommand

from fitfinder.questions import QuestionError
from inventory.measures import display
from inventory.measures.lengths import Unit
from inventory.web.shop_settings import as_the_shop


class AnsweringCommand(BaseCommand):
    """Prints its answer for a person or as JSON; what cannot be read ends with one sentence and exit 2."""

    # Django's checks load every page of the site, which is half of the time that somebody at a terminal waits.
    requires_system_checks = ()

    def execute(self, *args: Any, **options: Any) -> str | None:
        with as_the_shop():
            if (unit := options.get("unit")) in list(Unit):
                display.activate(display.in_unit(Unit(unit)))
            return super().execute(*args, **options)

    def add_arguments(self, parser):
        # “-1/4” is a size that is to be refused by name, not an option.
        parser._negative_number_matcher = re.compile(r"-[0-9.,]")
        parser.add_argument("--json", action="store_true", help="print the answer as JSON")

    def print_json(self, value: dict) -> None:
        self.stdout.write(json.dumps(value, ensure_ascii=False, indent=2))

    def refuse(self, error: QuestionError, *, as_json: bool) -> NoReturn:
        if as_json:
            self.print_json(error.as_json())
        else:
            self.stderr.write(error.words)
        sys.exit(2)
