"""How a page is served: to whom, and what may be done from it."""

from __future__ import annotations

import socket
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from balancer.errors import UsageError
from balancer.web.hosts import NamedHost, is_loopback, number, place

LOOPBACK: Final = "127.0.0.1"
PORT: Final = 8466
_LOCAL: Final = "localhost"


@dataclass(frozen=True, slots=True)
class PageSettings:
    """Where the page listens.

    host     the address it listens at
    port     the port
    names    names it may be asked for by, beside numbers and this machine's own: of a reverse proxy
    edit     whether specs may be changed from it
    only_reads  whether nobody logs from it: the demo house is everybody's
    """

    host: str = LOOPBACK
    port: int = PORT
    names: tuple[str, ...] = ()
    edit: bool = False
    only_reads: bool = False

    @property
    def is_private(self) -> bool:
        """Whether only this machine reaches it: then nobody needs a key to log."""
        return is_loopback(self.host) and not self.names

    def knows(self, host: NamedHost) -> bool:
        """Whether the place that a Host header names is this page.

        A number cannot be made to mean another machine, a name can: only this machine's own and those set are answered.
        """
        if self.is_private:
            return is_loopback(host.name)
        own = socket.gethostname().casefold()
        return number(host.name) is not None or host.name in (_LOCAL, own, f"{own}.local", *self.names)


def names_of(texts: Iterable[str]) -> tuple[str, ...]:
    """Names that a page may be asked for by, as they were typed. Raises UsageError for what is none."""
    found = []
    for text in texts:
        said = place(text.strip())
        if said is None or said.port is not None:
            raise UsageError("usage", f'--name "{text}": that is no name of a machine', "like bar.example, and no more")
        found.append(said.name)
    return tuple(found)
