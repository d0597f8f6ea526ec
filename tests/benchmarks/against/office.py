"""Drives LibreOffice without a window, and times it. Run by Debian's own Python, which has `uno` (python3-uno):

    /usr/bin/python3 tests/benchmarks/against/office.py FOLDER ROUNDS ROW NAME...

FOLDER holds NAME.ods without values; ROW is that of the reading, on the sheet Stock, that is typed anew. What was
found is printed as JSON. It imports nothing of the project.
"""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

OFFICE = "/usr/lib/libreoffice/program/soffice.bin"
PIPE = "drinks"
ENOUGH_S = 1.0
"""Of CPU, over all repeats: the system counts it in hundredths."""
MOST = 400
Process = subprocess.Popen[bytes]


def cpu_s(process: Process) -> float:
    """CPU that a process and its threads used so far."""
    fields = Path(f"/proc/{process.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def started(profile: str) -> tuple[Process, Any, list[float]]:
    """LibreOffice, its desktop, and how long it took until that answers: by the clock, and CPU."""
    import uno  # noqa: PLC0415 - Debian's Python has it, the project's has not
    from com.sun.star.connection import NoConnectException  # noqa: PLC0415

    context = uno.getComponentContext()
    resolver = context.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", context)
    options = ["--headless", "--norestore", "--nologo", "--nodefault", f"--accept=pipe,name={PIPE};urp;"]
    begun = time.perf_counter()
    process = subprocess.Popen([OFFICE, f"-env:UserInstallation=file://{profile}", *options])
    while True:
        try:
            there = resolver.resolve(f"uno:pipe,name={PIPE};urp;StarOffice.ComponentContext")
            desktop = there.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", there)
            break
        except NoConnectException:
            if process.poll() is not None or time.perf_counter() - begun > 120:
                raise
            time.sleep(0.005)
    return process, desktop, [time.perf_counter() - begun, cpu_s(process)]


def stopped(process: Process, desktop: Any) -> None:
    """End it, and wait until it is gone."""
    with contextlib.suppress(Exception):  # it may hang up before it answers
        desktop.terminate()
    process.wait(timeout=60)


def as_command(profile: str, path: Path, out: Path) -> list[float]:
    """Started, the workbook opened and worked out, its first sheet written as CSV, and ended: by the clock, and CPU."""
    command = [OFFICE, f"-env:UserInstallation=file://{profile}", "--headless", "--norestore", "--nologo"]
    begun, before = time.perf_counter(), os.times()
    subprocess.run(
        [*command, "--convert-to", "csv", "--outdir", str(out), str(path)], check=True, stdout=subprocess.DEVNULL
    )
    after = os.times()
    used = after.children_user + after.children_system - before.children_user - before.children_system
    lines = (out / f"{path.stem}.csv").read_text(encoding="utf-8", errors="replace").splitlines()
    assert lines[-1].count(",") >= 6, lines[-1]
    assert not any(sign in lines[-1] for sign in ("#", "Err:")), lines[-1]
    return [time.perf_counter() - begun, used]


def hidden(**more: Any) -> tuple[Any, ...]:
    from com.sun.star.beans import PropertyValue  # noqa: PLC0415

    found = []
    for name, value in {"Hidden": True, **more}.items():
        one = PropertyValue()
        one.Name, one.Value = name, value
        found.append(one)
    return tuple(found)


def repeated(process: Process, work: Callable[[int], object], rounds: int) -> dict[str, Any]:
    """Every repeat by the clock, and the mean of their CPU."""
    clock: list[float] = []
    before = cpu_s(process)
    while len(clock) < rounds or (cpu_s(process) - before < ENOUGH_S and len(clock) < MOST):
        begun = time.perf_counter()
        work(len(clock))
        clock.append(time.perf_counter() - begun)
    return {"clock": clock, "cpu": (cpu_s(process) - before) / len(clock)}


def data(document: Any, sheet: str) -> Any:
    """All cells of a sheet."""
    there = document.Sheets.getByName(sheet)
    cursor = there.createCursor()
    cursor.gotoEndOfUsedArea(False)
    last = cursor.RangeAddress
    return there.getCellRangeByPosition(0, 0, last.EndColumn, last.EndRow).getDataArray()


def alike(one: Sequence[Sequence[object]], other: Sequence[Sequence[object]]) -> bool:
    """Whether two sheets hold the same, up to what a stored figure keeps."""
    pairs = [pair for rows in zip(one, other, strict=True) for pair in zip(*rows, strict=True)]
    return all(
        a == b or (isinstance(a, float) and isinstance(b, float) and abs(a - b) < 1e-9 * max(1.0, abs(a)))
        for a, b in pairs
    )


def opened(desktop: Any, path: Path) -> Any:
    return desktop.loadComponentFromURL(f"file://{path}", "_blank", 0, hidden())


def timed(process: Process, desktop: Any, folder: Path, name: str, row: int, rounds: int) -> dict[str, Any]:
    """One workbook: opened and worked out, opened as the office itself stored it, worked out anew, a reading typed."""
    begun, before = time.perf_counter(), cpu_s(process)
    document = opened(desktop, folder / f"{name}.ods")
    document.calculate()
    first = [time.perf_counter() - begun, cpu_s(process) - before]
    stored = folder / f"{name}-stored.ods"
    document.storeAsURL(f"file://{stored}", hidden(FilterName="calc8"))
    values = {sheet: data(document, sheet) for sheet in ("Pours", "Drinks")}
    document.close(True)

    def open_stored(_: int) -> None:
        opened(desktop, stored).close(True)

    opening = repeated(process, open_stored, rounds)
    document = opened(desktop, stored)
    everything = repeated(process, lambda _: document.calculateAll(), rounds)
    cell = document.Sheets.getByName("Stock").getCellByPosition(3, row - 1)
    was = cell.Value
    told = document.Sheets.getByName("Drinks").getCellByPosition(6, 2)

    def typed(number: int) -> float:
        cell.Value = was + 0.1 * (1 + number % 2)
        document.calculate()
        return float(told.Value)

    reading = repeated(process, typed, rounds)
    cell.Value = was
    document.calculate()
    assert alike(values["Drinks"], data(document, "Drinks")), "what is stored is what was worked out at first"
    document.close(True)
    return {"first": first, "open": opening, "all": everything, "reading": reading, "values": values}


def main(folder: Path, rounds: int, row: int, names: Sequence[str]) -> None:
    found: dict[str, Any] = {"start": [], "books": {}}
    with tempfile.TemporaryDirectory() as profile:
        for _ in range(2):  # the first start makes a profile and asks to be started again
            command = [OFFICE, f"-env:UserInstallation=file://{profile}", "--headless", "--terminate_after_init"]
            subprocess.run(command, check=False, timeout=120)
        for _ in range(rounds):
            process, desktop, took = started(profile)
            found["start"].append(took)
            stopped(process, desktop)
        found["command"] = {
            name: [as_command(profile, folder / f"{name}.ods", folder) for _ in range(rounds)] for name in names
        }
        process, desktop, _ = started(profile)
        try:
            for name in names:
                found["books"][name] = timed(process, desktop, folder, name, row, rounds)
        finally:
            stopped(process, desktop)
    print(json.dumps(found))


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), int(sys.argv[2]), int(sys.argv[3]), sys.argv[4:])
