"""`manage.py fit`: which of what is on hand holds this stock."""

import sys

from fitfinder.find.question import Question
from fitfinder.find.telling import answer_json, answer_text
from fitfinder.management.answering import AnsweringCommand
from fitfinder.questions import QuestionError


class Command(AnsweringCommand):
    help = "Which collet, blank, chuck or center on hand holds this piece of stock. Exit 1 when nothing does."

    def add_arguments(self, parser):
        super().add_arguments(parser)
        parser.add_argument("size", help="a measured size, or with --grade a nominal one: .7485, 3/4, 19mm, 20h9")
        parser.add_argument("size2", nargs="?", default="", help="the largest measured size, SIZE being the smallest")
        parser.add_argument("--shape", default="round", help="round, hex or square")
        parser.add_argument("--grade", default="", help="a stock grade: cold-drawn, h9 …")
        parser.add_argument("--lathe", default="", help="the name of a lathe")
        parser.add_argument("--tir", default="", help="what the whole chain may run out")
        parser.add_argument("--unit", default="", help="in or mm, for bare numbers; never asked back where it is given")

    def handle(self, *, json: bool, **options):
        try:
            reply = Question.from_texts(options).answer()
        except QuestionError as error:
            self.refuse(error, as_json=json)
        if json:
            self.print_json(answer_json(reply))
        else:
            self.stdout.write(answer_text(reply))
        if reply.verdict == "nothing":
            sys.exit(1)
