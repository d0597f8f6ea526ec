"""One page at a time is set, whoever asks: fifty clicks wait in a row or are told to come back."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Final

from balancer.web.guard import RefusedError

MOST_WAITING: Final = 8


class Printer:
    """The row."""

    def __init__(self, most: int = MOST_WAITING) -> None:
        self._most = most
        self._waiting = 0
        self._busy = asyncio.Lock()

    @asynccontextmanager
    async def turn(self) -> AsyncIterator[None]:
        """Wait for one's turn, and have it. Raises RefusedError where too many wait; nothing waits on a thread."""
        if self._waiting >= self._most:
            raise RefusedError(503, "others are printing: try again in a moment")
        self._waiting += 1
        try:
            async with self._busy:
                yield
        finally:
            self._waiting -= 1
