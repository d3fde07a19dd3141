"""`manage.py plan`: the ways to hold a job, compared on what this shop has."""

import sys

from fitfinder.management.answering import AnsweringCommand
from fitfinder.plan import telling
from fitfinder.plan.question import JobQuestion
from fitfinder.questions import QuestionError

_OPTIONS = {
    "shape": "round, hex, square, rectangular, tube or casting",
    "grade": "a stock grade: cold-drawn, h9 …",
    "lathe": "the name of a lathe; left out, whichever is best",
    "length": "the whole length of the work",
    "stick-out": "how far it stands out of what grips it",
    "grip": "how much of it there is to grip",
    "bore": "the bore of a tube, or a finished bore",
    "parts": "how many parts",
    "setups": "how many set-ups, each of which grips the work anew",
    "tir": "what the work may run out between set-ups",
    "throw": "how far a second axis lies from the first",
    "taper": "a turned taper: 20 is 1:20 on the diameter; also .6 in/ft, 3 deg a side, Morse 2",
    "taper-length": "how long the taper itself is",
    "turned": "the finished diameter that the second set-up grips",
    "starts": "the starts of a thread",
    "weight": "what the work weighs, with its unit",
    "material": "what it is made of, where no grade says it: steel, aluminium, brass …",
    "regrip": "what later set-ups grip: same (surface) or turned (by the first)",
    "both-ends": "yes where it is turned end for end between its set-ups",
    "fed": "yes where bar is fed through the spindle",
    "irregular": "yes for a casting or other uneven work",
    "unit": "in or mm, for bare numbers; never asked back where it is given",
}


class Command(AnsweringCommand):
    help = "The ways to hold a job, best first. Exit 1 when no way can."

    def add_arguments(self, parser):
        super().add_arguments(parser)
        parser.add_argument("size", help="as for fit; of rectangular (flat) bar one side, of a tube the outside")
        parser.add_argument("size2", nargs="?", default="", help="the largest measured size, or the other side")
        for name, words in _OPTIONS.items():
            parser.add_argument(f"--{name}", default="", help=words)

    def handle(self, *, json: bool, **options):
        try:
            reply = JobQuestion.from_texts(options).plan()
        except QuestionError as error:
            self.refuse(error, as_json=json)
        if json:
            self.print_json(telling.as_json(reply))
        else:
            self.stdout.write(telling.as_text(reply))
        if not reply.is_possible:
            sys.exit(1)
