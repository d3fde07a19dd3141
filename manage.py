#!/usr/bin/env python
"""Gripbook's command line: `python manage.py help` lists what it can do."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line
    from django.db.utils import OperationalError, ProgrammingError

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        _refuse(str(error))
    except (OperationalError, ProgrammingError) as error:
        if not any(words in str(error) for words in _NOT_MADE_YET):
            raise
        _refuse("The database has not been made, or is from an older version. Run manage.py migrate, then try again.")


_NOT_MADE_YET = ("no such table", "no such column", "does not exist")
"""How the two databases say that a table or column is missing."""


def _refuse(sentence: str) -> None:
    print(sentence, file=sys.stderr)
    sys.exit(2)


if __name__ == "__main__":
    main()
