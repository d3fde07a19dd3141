"""The command line: what a person typed is looked at first, and trouble is told in a sentence."""

from __future__ import annotations

import os
import sys
from typing import TextIO

from django.core.exceptions import ImproperlyConfigured
from django.core.management import execute_from_command_line
from django.db import DatabaseError

from inventory.measures.lengths import shorten
from inventory.measures.signs import bad_sign
from shop.trouble.failures import FULL, failure_of, sentence_of


def run(words: list[str]) -> None:
    _open_closed_streams()
    try:
        _refuse_bad_signs(words[1:])
        execute_from_command_line(words)
    except ImproperlyConfigured as error:
        _refuse(str(error))
    except KeyboardInterrupt:
        sys.exit(130)  # as a shell has it
    except BrokenPipeError:
        # Whoever read what was printed has enough of it; nothing is left to be said to them.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)
    except DatabaseError as error:
        _refuse(sentence_of(error))
    except OSError as error:
        failure, file = failure_of(error), error.filename or "A file"
        _refuse(failure.sentence if failure is FULL else f"{file} cannot be used: {(error.strerror or '').lower()}.")
    except MemoryError:
        _refuse("This machine has too little memory for that: end other programs and try again.")


def _open_closed_streams() -> None:
    """A shell can close them (`>&-`): Python has none then, and the next file that is opened would take their place."""
    if sys.stdout is None:
        sys.stdout = _nowhere()
    if sys.stderr is None:
        sys.stderr = _nowhere()


def _nowhere() -> TextIO:
    return open(os.devnull, "w", encoding="utf-8")


def _refuse_bad_signs(words: list[str]) -> None:
    for word in words:
        if sign := bad_sign(word):
            _refuse(f"“{shorten(word)}” holds {sign}; a command accepts only signs that can be seen.")


def _refuse(sentence: str) -> None:
    print(sentence.encode("utf-8", "replace").decode(), file=sys.stderr)
    sys.exit(2)
