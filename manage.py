#!/usr/bin/env python
"""Gripbook's command line: `python manage.py help` lists what it can do."""

import os
import sys

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    from shop import command_line

    command_line.run(sys.argv)
