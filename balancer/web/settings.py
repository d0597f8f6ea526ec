"""How a page is served: to whom, and what may be done from it."""

from __future__ import annotations

import ipaddress
import socket
from dataclasses import dataclass
from typing import Final

LOOPBACK: Final = "127.0.0.1"
PORT: Final = 8466
_LOCAL_NAMES: Final = ("localhost",)


@dataclass(frozen=True, slots=True)
class PageSettings:
    """Where the page listens.

    host     the address it listens at
    port     the port
    names    names it may be asked for by, beside numbers and this machine's own: of a reverse proxy
    edit     whether specs may be changed from it
    """

    host: str = LOOPBACK
    port: int = PORT
    names: tuple[str, ...] = ()
    edit: bool = False

    @property
    def is_private(self) -> bool:
        """Whether only this machine reaches it: then nobody needs a key to log."""
        return is_loopback(self.host) and not self.names

    def knows(self, host: str) -> bool:
        """Whether a Host header names this page.

        A number cannot be rebound to another site, a name can: only the machine's own and those set are answered.
        """
        name = _without_port(host).casefold().rstrip(".")
        if self.is_private:
            return name in _LOCAL_NAMES or is_loopback(name)
        own = socket.gethostname().casefold()
        return _is_number(name) or name in (*_LOCAL_NAMES, own, f"{own}.local", *self.names)


def is_loopback(host: str) -> bool:
    """Whether an address is this machine alone.

    >>> is_loopback("127.0.0.1"), is_loopback("::1"), is_loopback("localhost"), is_loopback("10.0.0.7")
    (True, True, True, False)
    """
    if host.casefold() in _LOCAL_NAMES:
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def _without_port(host: str) -> str:
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0]


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name.strip("[]"))
    except ValueError:
        return False
    return True
