"""Commands as a person and as a program run them."""

from io import StringIO

from django.core.management import call_command


def run(name, *words):
    """Exit code, standard output and standard error."""
    out, err = StringIO(), StringIO()
    try:
        call_command(name, *words, stdout=out, stderr=err)
    except SystemExit as ended:
        return ended.code, out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()
