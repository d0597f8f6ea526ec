"""Connections of the page: how many, and for how long one may keep it waiting."""

from __future__ import annotations

import asyncio
import socket
from typing import Any, Final

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from balancer.web.hosts import household, is_loopback
from balancer.web.live import Watch

REQUEST_S: Final = 15.0
"""How long a request may take to come whole, its form too."""
MOST_CONNECTIONS: Final = 500
MOST_OF_ONE: Final = 150
"""Connections of one address."""
MOST_HEAD: Final = 16_384
"""Bytes of a request's first line and headers."""
STOP_S: Final = 1
"""How long answers under way may take when the page stops."""


class PageConnection(H11Protocol):
    """A connection that is closed when its request does not come whole in time, or too many are open."""

    _late: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a connection, or close it unanswered."""
        super().connection_made(transport)
        if self._is_too_many():
            transport.abort()
            return
        self._late = self.loop.call_later(REQUEST_S, self._close)

    def data_received(self, data: bytes) -> None:
        """Read on; the time runs from the first byte of a request to its last."""
        super().data_received(data)
        state = self.conn.their_state
        is_owed = state is h11.SEND_BODY or (state is h11.IDLE and bool(self.conn.trailing_data[0]))
        if not is_owed:
            self._wait_no_more()
        elif self._late is None:
            self._late = self.loop.call_later(REQUEST_S, self._close)

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget it."""
        self._wait_no_more()
        super().connection_lost(exc)

    def _wait_no_more(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None

    def _close(self) -> None:
        self._late = None
        self.transport.abort()

    def _is_too_many(self) -> bool:
        if len(self.connections) > MOST_CONNECTIONS:
            return True
        who = self.client[0] if self.client else ""
        if self.app_state.get("is_proxied") and is_loopback(who):
            return False
        mine = household(who)
        clients = [getattr(other, "client", None) for other in self.connections]
        same = sum(1 for client in clients if client and household(client[0]) == mine)
        return same > MOST_OF_ONE


class PageServer(uvicorn.Server):
    """A server whose listening pages do not keep it from stopping."""

    def __init__(self, config: uvicorn.Config, watch: Watch, *, is_proxied: bool) -> None:
        super().__init__(config)
        self._watch = watch
        self._is_proxied = is_proxied

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to answer."""
        state: dict[str, Any] = self.lifespan.state
        state["is_proxied"] = self._is_proxied
        await super().startup(sockets)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop: first the pages that listen, then what is under way."""
        self._watch.stop()
        await super().shutdown(sockets)
