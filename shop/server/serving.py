"""The everyday server: where it can be reached, and what keeps it from starting."""

import errno
import io
import os
import socket
import sys
from argparse import ArgumentParser

import segno
from django.conf import settings
from django.core.management import CommandError
from django.core.management.base import OutputWrapper
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from msgspec import Struct

from shop.book import book_file
from shop.journal import who_did_what
from shop.server import network
from shop.trouble.failures import sentence_of

PORT = 8000
HOST = "0.0.0.0"
MOST_WORKERS = 64
BACKLOG = 2048
"""Connections that wait to be taken up."""
_ALL_ADDRESSES = {"0.0.0.0", "::"}


def add_arguments(parser: ArgumentParser) -> None:
    # The port is read by `port_of`: argparse would answer a bad one with its usage instead of a sentence.
    parser.add_argument("--port", default=str(PORT), help=f"the port to listen on ({PORT})")
    parser.add_argument(
        "--host", default=HOST, help="the address to listen on; every address of this machine if left out"
    )
    parser.add_argument("--workers", default="1", help="how many processes answer (1)")


def port_of(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 65_535:
        raise CommandError(f"--port is “{text}”; it accepts a whole number from 1 to 65535.", returncode=2)
    return int(text)


def workers_of(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_WORKERS:
        raise CommandError(f"--workers is “{text}”; it accepts a whole number from 1 to {MOST_WORKERS}.", returncode=2)
    if int(text) > 1 and os.name == "nt":
        raise CommandError(
            f"--workers is “{text}”; on Windows it accepts 1: only one process can listen there.", returncode=2
        )
    return int(text)


def address_of(host: str, port: int) -> str:
    """What a person types to reach the site: PUBLIC_URL, or this machine's address on the shop's network."""
    if settings.PUBLIC_URL:
        return settings.PUBLIC_URL
    name = network.local_address() if host in _ALL_ADDRESSES else host
    return f"http://[{name}]:{port}" if ":" in name else f"http://{name}:{port}"


def refuse_unapplied_migrations() -> None:
    try:
        executor = MigrationExecutor(connection)
        unapplied = executor.migration_plan(executor.loader.graph.leaf_nodes())
    except DatabaseError as error:
        raise CommandError(sentence_of(error)) from None
    if unapplied:
        raise CommandError("The database is not up to date: run manage.py migrate first.")


class ServingPlace(Struct, frozen=True):
    """Where this machine listens: an address of its own, and what it was named by."""

    host: str
    port: int
    numeric: str
    held: socket.socket | None
    """ServingPlace already, so that whoever asks meanwhile waits; None where the server can only open it itself."""


def place_of(host: str, port: int) -> ServingPlace:
    """Raises a CommandError that says why nothing can listen there."""
    try:
        family, *_, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        held = socket.create_server(address[:2], family=family, backlog=BACKLOG)
    except (socket.gaierror, UnicodeError):
        raise CommandError(
            f"--host is “{host}”; it accepts an address or a name of this machine.", returncode=2
        ) from None
    except OSError as error:
        raise CommandError(_why_not(error, host, port), returncode=_returncode(error)) from None
    if sys.platform != "linux":
        held.close()
    return ServingPlace(host, port, str(address[0]), held if sys.platform == "linux" else None)


def _why_not(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return f"Port {port} is in use by another program; stop that, or take another with --port."
    if error.errno == errno.EACCES:
        return f"Port {port} may only be used by the system; take one above 1023 with --port."
    if error.errno == errno.EADDRNOTAVAIL:
        return f"--host is “{host}”; that is no address of this machine."
    return f"Port {port} cannot be listened on: {error.strerror}."


def _returncode(error: OSError) -> int:
    return 2 if error.errno == errno.EADDRNOTAVAIL else 1


def run(place: ServingPlace, *, workers: int, out: OutputWrapper) -> None:
    """Tell where the site is, then serve until Ctrl-C."""
    # Loaded only where something is served: pages ask this module for addresses as well.
    from shop.server import workers as processes

    address = address_of(place.host, place.port)
    room, is_short = book_file.room_for_it()
    if room:
        out.write(f"{'SHORT OF SPACE: ' if is_short else ''}{room}")
    if is_short:
        out.write("Make room on that disk: when it is full, nothing more can be written into the book.")
    log = who_did_what.keep_in_file()
    out.write(f"Who did what is written to {log}." if log else "The log of who did what cannot be written here.")
    out.write(f"Gripbook is at {address}\n")
    draw(address, out)
    out.write("Stop it with Ctrl-C.")
    out.flush()
    processes.serve(place, address=address, workers=workers)


def draw(address: str, out: OutputWrapper) -> None:
    """The address as a QR code, for a phone to be pointed at the terminal."""
    encoding = getattr(out, "encoding", None) or "ascii"
    code = _in_half_blocks(address)
    try:
        code.encode(encoding)
    except UnicodeEncodeError:
        return  # This terminal cannot show it; the address is enough.
    out.write(code)


def _in_half_blocks(address: str) -> str:
    """Light on dark, as a terminal has it; ends with a newline."""
    text = io.StringIO()
    segno.make(address, micro=False).terminal(text, border=2, compact=True)
    return text.getvalue()
