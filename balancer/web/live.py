"""Telling open pages that something changed: one look at the files a second, whoever listens."""

from __future__ import annotations

import asyncio
import json
from collections import Counter
from collections.abc import AsyncIterator
from contextlib import suppress
from datetime import datetime
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.responses import PlainTextResponse, StreamingResponse
from starlette.types import Receive, Scope, Send

from balancer.web.house import OpenHouse

LOOK_S: Final = 1.0
BEAT_S: Final = 10.0
MOST_LISTENERS: Final = 200
MOST_OF_ONE: Final = 60
"""Listeners of one address: the devices of a bar behind one router, a few pages each."""


class Watch:
    """Looks at the files while anybody listens."""

    def __init__(self, house: OpenHouse) -> None:
        self.house = house
        self.listening: Counter[str] = Counter()
        self._mark = ""
        self._looked = 0.0
        self._stopped = asyncio.Event()

    @property
    def listeners(self) -> int:
        """How many pages listen."""
        return self.listening.total()

    def is_full(self, address: str) -> bool:
        """Whether nobody more can listen, or nobody more from an address."""
        return self.listeners >= MOST_LISTENERS or self.listening[address] >= MOST_OF_ONE

    async def mark(self) -> str:
        """What stands for the files as they are, as `OpenHouse.mark`; looked up at most once a second."""
        now = asyncio.get_running_loop().time()
        if now - self._looked >= LOOK_S or not self._mark:
            self._looked = now
            self._mark = await run_in_threadpool(self.house.look)
        return self._mark

    async def events(self, known: str) -> AsyncIterator[str]:
        """Server-sent events: `changed` when something did, `beat` to say that the line is up.

        known  the mark that the page was made at; "" where it has none
        """
        loop = asyncio.get_running_loop()
        last = -BEAT_S
        while not self._stopped.is_set():
            found = await self.mark()
            if found != (known or found):
                last = loop.time()
                yield self._event("changed", found)
            elif loop.time() - last >= BEAT_S:
                last = loop.time()
                yield self._event("beat", found)
            known = found
            with suppress(TimeoutError):
                await asyncio.wait_for(self._stopped.wait(), LOOK_S)

    def stop(self) -> None:
        """End every stream, so that the page can stop at once."""
        self._stopped.set()

    @staticmethod
    def _event(name: str, mark: str) -> str:
        at = json.dumps(datetime.now().astimezone().isoformat(timespec="seconds"))
        return f"id: {mark}\nevent: {name}\ndata: {at}\n\n"


class Listening(StreamingResponse):
    """A page that listens, counted for as long as it does; or that it may not."""

    def __init__(self, watch: Watch, address: str, known: str) -> None:
        super().__init__(watch.events(known), media_type="text/event-stream")
        self._watch = watch
        self._address = address

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Stream until the page goes away or the server stops."""
        listening = self._watch.listening
        if self._watch.is_full(self._address):
            full = PlainTextResponse("too many listen: ask again now and then instead", 503)
            await full(scope, receive, send)
            return
        listening[self._address] += 1
        try:
            await super().__call__(scope, receive, send)
        finally:
            listening[self._address] -= 1
            if not listening[self._address]:
                del listening[self._address]
