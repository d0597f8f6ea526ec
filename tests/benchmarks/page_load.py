"""A page under load: fifty devices that read and log, and a machine that goes dark while they do.

    python tests/benchmarks/page_load.py [SECONDS [KILLS]]

Fifty devices read and log for a minute, against a page that is served by a process of its own on the demo house. Each
batch that a device logs has a weight of its own; whatever the page acknowledged has to stand in the log afterwards.
Then the page is killed fifty times while ten devices log, and started again. Times are of one request, by the clock.
"""

from __future__ import annotations

import http.client
import itertools
import random
import shutil
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

CHECKOUT = Path(__file__).absolute().parents[2]
sys.path.insert(0, str(CHECKOUT))

from balancer.desk.desk import Desk  # noqa: E402 - runs as a script, from anywhere
from tests.web.browsing import SPECS, read  # noqa: E402
from tests.web.serving import Device, Served, logged, served  # noqa: E402

DEVICES = 50
SECONDS = 60.0
KILLS = 50
PAGES = ("/", "/", "/drinks/slipway-sour", "/batches", "/read", "/still-there")
THINKS_S = 0.5
"""How long a hand needs between two taps, on average."""
_PATIENCE_S = 30.0


@dataclass(slots=True)
class Load:
    """What the devices met: times of each kind, s; errors; and the weights that were acknowledged, g."""

    times: dict[str, list[float]] = field(default_factory=lambda: {"read": [], "log": []})
    errors: list[str] = field(default_factory=list)
    kept: list[float] = field(default_factory=list)
    memory_mib: list[float] = field(default_factory=list)

    def p99_ms(self, kind: str) -> float:
        """The time that one in a hundred takes longer, ms."""
        return statistics.quantiles(self.times[kind], n=100)[98] * 1000


def _weights() -> Iterator[float]:
    """Weights that a bar could have made, each another one, g."""
    return (round(500 + number / 10, 1) for number in itertools.count())


def log_made(device: Device, weight_g: float) -> bool:
    """Log a batch of a weight, as the form asks; whether it was acknowledged."""
    status, text = device.get("/batches/new")
    if status != http.client.OK:
        raise RuntimeError(f"/batches/new: {status}")
    fields = {node.attributes["name"]: node.attributes.get("value", "") for node in read(text).find("input")
              if node.attributes.get("type") == "hidden"}  # fmt: skip
    device.token = fields["token"]
    asked = {"liquid": "simple-syrup", "brix": "50", "mass": f"{weight_g} g", "by": "Load"}
    status, _ = device.post("/batches/new", {**fields, **asked})
    if status == http.client.SEE_OTHER:
        return True
    raise RuntimeError(f"logging: {status}")


def lost(specs: Path, kept: list[float]) -> list[float]:
    """The weights that were acknowledged and are not in the log, or not once."""
    masses = [line.get("mass") for line in logged(specs) if line.get("by") == "Load"]
    return [weight for weight in kept if masses.count(weight) != 1]


def _device(page: Served, load: Load, until: float, weights: Iterator[float], lock: threading.Lock, seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311 - which page is asked next
    device = Device(page.port)
    try:
        device.get("/")
        while time.monotonic() < until:
            kind = "log" if chance.random() < 0.1 else "read"
            with lock:
                weight = next(weights)
            began = time.monotonic()
            if kind == "log":
                log_made(device, weight)
            else:
                path = chance.choice(PAGES)
                status, _ = device.get(path)
                if status != http.client.OK:
                    raise RuntimeError(f"{path}: {status}")
            took = time.monotonic() - began
            with lock:
                load.times[kind].append(took)
                if kind == "log":
                    load.kept.append(weight)
            time.sleep(chance.expovariate(1 / THINKS_S))
    except (OSError, http.client.HTTPException, RuntimeError) as error:
        with lock:
            load.errors.append(f"{type(error).__name__}: {error}")
    finally:
        device.close()


def loaded(specs: Path, state: Path, seconds: float, devices: int = DEVICES) -> Load:
    """Devices that read and log at once."""
    load, lock, weights = Load(), threading.Lock(), _weights()
    with served(specs, state) as page:
        load.memory_mib.append(page.memory_mib)
        until = time.monotonic() + seconds
        threads = [
            threading.Thread(target=_device, args=(page, load, until, weights, lock, seed)) for seed in range(devices)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        load.memory_mib.append(page.memory_mib)
    return load


def killed(specs: Path, state: Path, times: int, devices: int = 10) -> tuple[list[float], int, list[str]]:
    """Kill the page while devices log, so many times: what was acknowledged, how many devices were cut off, errors."""
    kept: list[float] = []
    errors: list[str] = []
    cut, weights, lock = 0, _weights(), threading.Lock()
    chance = random.Random(7)  # noqa: S311 - when it goes dark
    for _ in range(times):
        broken: list[int] = []

        def work(page: Served, broken: list[int] = broken) -> None:
            device = Device(page.port)
            try:
                device.get("/")
                while True:
                    with lock:
                        weight = next(weights)
                    if log_made(device, weight):
                        with lock:
                            kept.append(weight)
            except (OSError, http.client.HTTPException):
                with lock:
                    broken.append(1)
            except RuntimeError as error:
                with lock:
                    errors.append(str(error))
            finally:
                device.close()

        with served(specs, state) as page:
            threads = [threading.Thread(target=work, args=(page,)) for _ in range(devices)]
            for thread in threads:
                thread.start()
            _wait_for_more(kept)
            time.sleep(chance.random() * 0.5)
            page.process.kill()
            for thread in threads:
                thread.join()
        cut += len(broken)
    return kept, cut, errors


def _wait_for_more(kept: list[float]) -> None:
    """Until something else was acknowledged: a page killed before that would lose nothing on a busy machine."""
    before, patience = len(kept), time.monotonic() + _PATIENCE_S
    while len(kept) == before and time.monotonic() < patience:
        time.sleep(0.01)


def main(arguments: list[str], say: Callable[[str], None] = print) -> int:
    """Run both, print figures; 1 when anything failed or was lost."""
    seconds = float(arguments[0]) if arguments else SECONDS
    kills = int(arguments[1]) if len(arguments) > 1 else KILLS
    with tempfile.TemporaryDirectory() as name:
        specs = shutil.copytree(SPECS, Path(name) / "specs")
        load = loaded(specs, Path(name) / "state", seconds)
        gone = lost(specs, load.kept)
        asked = sum(len(times) for times in load.times.values())
        say(f"{DEVICES} devices for {seconds:.0f} s: {asked} requests, {len(load.errors)} errors")
        for kind, times in load.times.items():
            median_ms, p99_ms = statistics.median(times) * 1000, load.p99_ms(kind)
            say(f"  {kind:<5} {len(times):6}   median {median_ms:6.0f} ms   p99 {p99_ms:6.0f} ms")
        say(f"  acknowledged {len(load.kept)}, lost {len(gone)}")
        say(f"  memory {load.memory_mib[0]:.0f} MiB at first, {load.memory_mib[1]:.0f} MiB at last")
        for error in load.errors[:5]:
            say(f"  {error}")
    with tempfile.TemporaryDirectory() as name:
        specs = shutil.copytree(SPECS, Path(name) / "specs")
        kept, cut, errors = killed(specs, Path(name) / "state", kills)
        dark = lost(specs, kept)
        problems = Desk(specs).log_problems
        say(f"killed {kills} times, {cut} devices cut off: acknowledged {len(kept)}, lost {len(dark)}")
        say(f"  the log reads, {len(problems)} problems")
    for error in errors[:5]:
        say(f"  {error}")
    return 1 if load.errors or gone or errors or dark or problems else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
