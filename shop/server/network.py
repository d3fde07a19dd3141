"""How the shop's other machines reach this one."""

from __future__ import annotations

import socket


def local_address() -> str:
    """This machine's address on the local network, or the loopback address where it has none.

    Connecting a datagram socket sends nothing; it only asks the system which address it would use.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("10.255.255.255", 1))
        except OSError:
            return "127.0.0.1"
        return probe.getsockname()[0]


def own_names() -> list[str]:
    """Names and addresses under which a browser may ask for this machine."""
    host = socket.gethostname()
    return sorted({"localhost", "127.0.0.1", "[::1]", host, f"{host}.local", local_address()})
