"""The processes that serve: granian waits for the devices in each, and the bridge answers."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import socket
import sys
import threading
from collections.abc import Callable
from functools import partial
from typing import Any

from django.conf import settings
from django.db import connections
from granian.constants import HTTPModes, Interfaces
from granian.http import HTTP1Settings
from granian.log import LogLevels
from granian.net import SocketHolder
from granian.server.mp import MPServer

from shop.journal import who_did_what
from shop.server import serving

MOST_CONNECTIONS = 4096
"""Open at once, each some kilobytes; whoever comes then waits until one of them ends.

One address can have them all, half-sent, for ten seconds at a time: granian takes connections and reads their heads by
itself and hands over only what has one, so a limit for each address can only stand before it, in a firewall or a proxy.
"""
_HEADER_SECONDS, _HEADER_BYTES = 10, 64 * 1024
_SECONDS_TO_END = 10
_SWITCH_SECONDS = 0.0005
"""So short, a page hardly waits for a thread that computes; by default it would for 5 ms at each of its steps."""


class _Server(MPServer):
    """With the socket that is held already, where there is one; it is handed to each process."""

    held: socket.socket | None = None

    def _init_shared_socket(self) -> None:
        if self.held is None:
            super()._init_shared_socket()
            return
        # As the library does by itself for a socket that is a file.
        self._sso: socket.socket | None = self.held
        self._sfd = self.held.fileno()  # type: ignore[assignment] # its None is a value, not a type
        self.held.set_inheritable(True)
        # As above; and on Linux it wants all three.
        self._shd = SocketHolder(self._sfd, False, serving.BACKLOG)  # type: ignore[assignment,call-arg]


def serve(place: serving.ServingPlace, *, address: str, workers: int) -> None:
    """Until Ctrl-C. `address` is what people type; each process is told it."""
    _allow_open_files()
    connections.close_all()  # what a process opened is not shared with those that it starts
    server = _Server(
        "shop.wsgi:application",
        address=place.numeric,
        port=place.port,
        interface=Interfaces.ASGINL,
        http=HTTPModes.http1,
        websockets=False,
        workers=workers,
        backlog=serving.BACKLOG,
        backpressure=MOST_CONNECTIONS,
        http1_settings=HTTP1Settings(header_read_timeout=_HEADER_SECONDS * 1000, max_buffer_size=_HEADER_BYTES),
        log_level=LogLevels.warning,
        log_dictconfig={"loggers": {"_granian": {"handlers": [], "propagate": True}}},
        respawn_failed_workers=True,
        respawn_interval=0.5,
        workers_kill_timeout=_SECONDS_TO_END,
    )
    server.held = place.held
    server.serve(target_loader=partial(_application, host=place.host, address=address), wrap_loader=False)


def _application(*, host: str, address: str) -> Callable[..., Any]:
    """In each process: what it answers with."""
    # In a process that was not forked nothing is set up before this.
    from shop.wsgi import application  # isort: skip
    from shop.server.bridge import Bridge

    be_reachable_as(host, address)
    who_did_what.keep_in_file()
    sys.setswitchinterval(_SWITCH_SECONDS)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    return Bridge(application)


def be_reachable_as(host: str, address: str) -> None:
    # Labels point to where the site was found to be, also when they are printed from this very machine.
    settings.PUBLIC_URL = address
    if host not in ("0.0.0.0", "::") and host not in settings.ALLOWED_HOSTS:
        settings.ALLOWED_HOSTS.append(host)


def _end_with_parent() -> None:
    """Whoever kills `serve` wants nobody to be left who holds its port."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _allow_open_files() -> None:
    """Each connection is an open file, of which a process may often have 1,024 only."""
    with contextlib.suppress(ImportError, ValueError, OSError):  # Windows has no such limit
        import resource

        soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
        wanted = MOST_CONNECTIONS + 1024
        if soft < wanted:
            most = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
            resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))
