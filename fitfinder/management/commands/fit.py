"""`manage.py fit`: which of what is on hand holds this stock."""

import json
import re
import sys

from django.core.management.base import BaseCommand

from fitfinder.answer_json import answer_json, error_json
from fitfinder.answer_text import answer_text
from fitfinder.questions import Question
from fitfinder.stock import QuestionError


class Command(BaseCommand):
    help = "Which collet, blank, chuck or center on hand holds this piece of stock. Exit 1 when nothing does."

    def add_arguments(self, parser):
        # “-1/4” is a size that is to be refused by name, not an option.
        parser._negative_number_matcher = re.compile(r"-[0-9.,]")
        parser.add_argument("size", help="a measured size, or with --grade a nominal one: .7485, 3/4, 19mm, 20h9")
        parser.add_argument("size2", nargs="?", default="", help="the largest measured size, SIZE being the smallest")
        parser.add_argument("--shape", default="round", help="round, hex or square")
        parser.add_argument("--grade", default="", help="a stock grade: cold-drawn, h9 …")
        parser.add_argument("--lathe", default="", help="the name of a lathe")
        parser.add_argument("--tir", default="", help="what the whole chain may run out")
        parser.add_argument("--unit", default="in", help="in or mm, for bare numbers")
        parser.add_argument("--json", action="store_true", help="print the answer as JSON")

    def handle(self, *, json: bool, **options):
        question = Question.from_texts(options)
        try:
            reply = question.answer()
        except QuestionError as error:
            self._refuse(error, as_json=json)
        self.stdout.write(_dumped(answer_json(reply)) if json else answer_text(reply))
        if reply.verdict == "nothing":
            sys.exit(1)

    def _refuse(self, error: QuestionError, *, as_json: bool):
        if as_json:
            self.stdout.write(_dumped(error_json(error)))
        else:
            self.stderr.write(f"{error.field}: {error.message}")
        sys.exit(2)


def _dumped(value: dict) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2)
