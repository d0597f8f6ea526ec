"""Telling open pages that something changed: one look at the files a second, whoever listens."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from datetime import datetime

from starlette.concurrency import run_in_threadpool

from balancer.web.house import Fingerprint, OpenHouse

LOOK_S = 1.0
BEAT_S = 10.0
MOST_LISTENERS = 500


class Watch:
    """Looks at the files while anybody listens."""

    def __init__(self, house: OpenHouse) -> None:
        self.house = house
        self.listeners = 0
        self._seen: Fingerprint | None = None
        self._change = 0
        self._looked = 0.0

    async def change(self) -> int:
        """How many changes there have been; looked up at most once a second."""
        now = asyncio.get_running_loop().time()
        if now - self._looked >= LOOK_S or self._seen is None:
            self._looked = now
            seen = await run_in_threadpool(self.house.fingerprint)
            if self._seen is not None and seen != self._seen:
                self._change += 1
            self._seen = seen
        return self._change

    async def events(self) -> AsyncIterator[str]:
        """Server-sent events: `changed` when something did, `beat` to say that the line is up."""
        self.listeners += 1
        try:
            known = await self.change()
            yield self._event("beat")
            loop = asyncio.get_running_loop()
            last = loop.time()
            while True:
                await asyncio.sleep(LOOK_S)
                found = await self.change()
                if found != known:
                    known, last = found, loop.time()
                    yield self._event("changed")
                elif loop.time() - last >= BEAT_S:
                    last = loop.time()
                    yield self._event("beat")
        finally:
            self.listeners -= 1

    @staticmethod
    def _event(name: str) -> str:
        return f"event: {name}\ndata: {json.dumps(datetime.now().astimezone().isoformat(timespec='seconds'))}\n\n"
