"""Batch logs of many bars over a year, drawn by chance from a seed, with a drift planted in some of them.

What nobody planted varies as a kitchen does: from batch to batch, a little from maker to maker and from bar to bar.
Slips are in it too, each with the undo that a person typed: of a making, of a reading alone, and one that was brought
back; makings read only later, batches corrected, combined, discarded; lines written by hand; juice, which has no chart.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from tests.cli.runner import CHECKOUT

SEED: Final = 14
FIRST_DAY: Final = date(2025, 1, 1)
DAYS: Final = 364
WEEKS: Final = DAYS // 7
NOW: Final = "2026-01-02T12:00+00:00"

SYRUPS: Final = {
    "raspberry-syrup": ("RAS", 50.0), "simple-syrup": ("SIM", 50.0), "rich-syrup": ("RIC", 66.7),
    "demerara-syrup": ("DEM", 50.0), "honey-syrup": ("HON", 50.0), "ginger-syrup": ("GIN", 50.0),
    "pineapple-syrup": ("PIN", 50.0), "strawberry-syrup": ("STR", 50.0),
}  # fmt: skip
"""Of the demo house, with the letters on their tape and their standard in °Bx."""

NAMES: Final = (
    "Abel", "Berit", "Corin", "Dagny", "Edda", "Falk", "Gerda", "Hauke", "Imke", "Jorun", "Kerst", "Levin",
    "Malin", "Nuno", "Oda", "Pelle", "Quirin", "Rike", "Sunna", "Tamme", "Ulla", "Vidar", "Wibke", "Ylva",
)  # fmt: skip
CREW: Final = 4
OFFSETS: Final = ("+00:00", "+01:00", "+02:00", "-05:00", "+05:30")

SD_BATCH: Final = 0.35
SD_MAKER: Final = 0.10
SD_BAR: Final = 0.05
"""°Bx, of what is no drift."""

BAR_SHIFT: Final = 1.8
SYRUP_SHIFT: Final = -1.6
MAKER_OFFSET: Final = 1.4
"""°Bx, of what is one: a refractometer that was knocked, a recipe changed for all, a hand that pours short."""


class Planted(NamedTuple):
    """What drifts: bars by their id with the day of the shift, syrups likewise, and makers as (bar, name)."""

    bars: dict[str, int]
    syrups: dict[str, int]
    makers: frozenset[tuple[str, str]]


def bar_id(number: int) -> str:
    return f"bar-{number:05}"


def planted(bars: int, seed: int = SEED) -> Planted:
    """A drift in two bars of a hundred, in one syrup, and in one maker of every twenty-fifth bar; all by the seed."""
    rng = np.random.default_rng([seed, bars])
    drawn = [int(number) for number in rng.permutation(bars)]
    off = max(2, bars // 50)
    shifted = {bar_id(number): int(rng.integers(120, 240)) for number in drawn[:off]}
    makers = {(bar_id(number), crew(number, seed)[1]) for number in drawn[off : off + max(2, bars // 25)]}
    return Planted(shifted, {"ginger-syrup": 150}, frozenset(makers))


NOTHING: Final = Planted({}, {}, frozenset())


def crew(number: int, seed: int = SEED) -> list[str]:
    """Who makes syrup in a bar."""
    rng = np.random.default_rng([seed, number, 1])
    return [NAMES[place] for place in rng.permutation(len(NAMES))[:CREW]]


def write_group(folder: Path, bars: int, drift: Planted, seed: int = SEED) -> int:
    """The group's files in `group/` and those of every bar in `bars/ID/`; how many lines their logs have together."""
    shutil.copytree(CHECKOUT / "specs", folder / "group", ignore=shutil.ignore_patterns("batches.yaml", "look"))
    house = folder / "group" / "house.yaml"
    house.write_text(house.read_text(encoding="utf-8").partition("\nlook:")[0] + "\n", encoding="utf-8")
    lines = 0
    for number in range(bars):
        own = folder / "bars" / bar_id(number)
        own.mkdir(parents=True)
        text = f"format: 1\nhouse: {bar_id(number)}\nbase: ../../group\n"
        (own / "house.yaml").write_text(text, encoding="utf-8")
        log = list(bar_log(number, drift, seed))
        lines += len(log)
        (own / "batches.yaml").write_text("".join(log), encoding="utf-8")
    return lines


class _Line(NamedTuple):
    """One line before it is written; what was logged first stands first."""

    day: int
    second: int
    order: int
    text: str


def bar_log(number: int, drift: Planted, seed: int = SEED) -> Iterator[str]:
    """The lines of one bar's log, in the order of time."""
    return (line.text for line in sorted(_Bar(number, drift, seed).lines()))


class _Making(NamedTuple):
    """One making of a syrup: who, when, how strong it came out, and what chance decides of it, each from 0 to 1."""

    syrup: str
    maker: str
    day: int
    second: int
    brix: float
    slip: float
    restored: float
    read_later: float
    corrected: float
    by_hand: float
    read_again: float
    combined: float
    discarded: float


class _Bar:
    def __init__(self, number: int, drift: Planted, seed: int) -> None:
        self.id = bar_id(number)
        self.drift = drift
        self.rng = np.random.default_rng([seed, number, 2])
        self.crew = crew(number, seed)
        self.bias = self.rng.normal(0.0, SD_BAR)
        self.hand = dict(zip(self.crew, self.rng.normal(0.0, SD_MAKER, CREW), strict=True))
        self.offset = OFFSETS[number % len(OFFSETS)]
        self.order = 0
        self.place = 0  # of the syrup: no two commands of a bar share a moment
        self.tapes = 0
        self.left = ""  # of the last batch, which the next may be poured together with

    def lines(self) -> Iterator[_Line]:
        for place, syrup in enumerate(SYRUPS):
            self.place, self.tapes, self.left = place, 0, ""
            for making in self._makings(syrup):
                yield from self._slip(making)
                yield from self._batch(making, self._tape(syrup))
        self.place = len(SYRUPS)
        yield from self._juice()

    def _makings(self, syrup: str) -> Iterator[_Making]:
        rng = self.rng
        noise = rng.normal(0.0, SD_BATCH, WEEKS)
        makers = rng.integers(0, CREW, WEEKS)
        minutes = rng.integers(0, 180, WEEKS)
        for week, chances in enumerate(rng.random((WEEKS, 8)).tolist()):
            day, maker = 7 * week + self.place % 7, self.crew[makers[week]]
            brix = round(float(SYRUPS[syrup][1] + self._off(syrup, maker, day) + noise[week]), 2)
            yield _Making(syrup, maker, day, 36_000 + 60 * int(minutes[week]), brix, *chances)

    def _slip(self, one: _Making) -> Iterator[_Line]:
        """A making typed wrong and taken back; and sometimes that was the slip, and is taken back itself."""
        if one.slip >= 0.03:
            return
        tape, second = self._tape(one.syrup), one.second - 3_000
        yield self._made(one, tape, second, round(one.brix * 0.9, 2))
        yield self._undo(tape, one.day, second + 70, undone=second)
        if one.restored < 0.1:
            yield self._undo(tape, one.day, second + 140, undone=second + 70)
            yield self._line(one.day, second + 150, {"batch": tape, "event": "discard", "by": one.maker})

    def _batch(self, one: _Making, tape: str) -> Iterator[_Line]:
        """A batch from its making to its end."""
        day, second, brix = one.day, one.second, one.brix
        if one.read_later < 0.12:
            yield self._made(one, tape, second, None)
            yield self._read(one, tape, day, second + 3_600, brix)
        elif one.read_later < 0.15:  # misread: that alone is taken back, and it is read again
            yield self._made(one, tape, second, round(brix + 6.0, 2))
            yield self._undo(tape, day, second + 60, undone=second, only="reading")
            yield self._read(one, tape, day, second + 120, brix)
        else:
            yield self._made(one, tape, second, brix)
        if one.corrected < 0.15:
            standard = SYRUPS[one.syrup][1]
            yield self._line(
                day, second + 5_000, {"batch": tape, "event": "correct", "brix": standard, "by": one.maker}
            )
            yield self._read(one, tape, day, second + 6_000, round(brix - 0.5, 2))
        by_hand = one.by_hand < 0.01
        yield self._line(day, second + 20_000, {"batch": tape, "event": "open", "by": one.maker}, by_hand=by_hand)
        if one.read_again < 0.9:
            yield self._read(one, tape, day + 2, 50_000, round(brix + 0.1, 2))
            if one.read_again < 0.02:
                yield self._undo(tape, day + 2, 50_100, undone=50_000)
        if one.combined < 0.02 and self.left:  # poured together with what is left of the last one: nobody made that
            mixed = {"batch": self._tape(one.syrup), "syrup": one.syrup, "event": "made", "brix": round(brix + 0.3, 2)}
            yield self._line(day + 6, 40_000, {**mixed, "refers": [self.left, tape], "by": one.maker})
            self.left = ""
            return
        self.left = tape
        word = "empty" if one.discarded < 0.85 else "discard"
        yield self._line(day + 6, 80_000, {"batch": tape, "event": word, "by": one.maker})

    def _tape(self, syrup: str) -> str:
        self.tapes += 1
        return f"{SYRUPS[syrup][0]}-{self.tapes}"

    def _juice(self) -> Iterator[_Line]:
        acids = self.rng.normal(60.0, 2.0, WEEKS)
        for week in range(WEEKS):
            tape, day = f"LIM-{week + 1}", 7 * week + 3
            made = {"batch": tape, "syrup": "lime-juice", "event": "made", "acid": f"{acids[week]:.1f} g/l"}
            yield self._line(day, 30_000, {**made, "made": _ISO[day], "by": self.crew[0]})
            yield self._line(day, 30_060, {"batch": tape, "event": "open"})
            yield self._line(day, 85_000, {"batch": tape, "event": "empty"})

    def _off(self, syrup: str, maker: str, day: int) -> float:
        drift = self.drift
        off = self.bias + self.hand[maker]
        off += BAR_SHIFT if day >= drift.bars.get(self.id, DAYS) else 0.0
        off += SYRUP_SHIFT if day >= drift.syrups.get(syrup, DAYS) else 0.0
        return float(off + (MAKER_OFFSET if (self.id, maker) in drift.makers else 0.0))

    def _made(self, one: _Making, tape: str, second: int, brix: float | None) -> _Line:
        read = {} if brix is None else {"brix": brix, "uncertainty": 0.3}
        keys = {"batch": tape, "syrup": one.syrup, "event": "made", **read, "mass": 1400, "made": _ISO[one.day]}
        return self._line(one.day, second, {**keys, "by": one.maker})

    def _read(self, one: _Making, tape: str, day: int, second: int, brix: float) -> _Line:
        return self._line(day, second, {"batch": tape, "event": "reading", "brix": brix, "by": one.maker})

    def _undo(self, tape: str, day: int, second: int, *, undone: int, only: str | None = None) -> _Line:
        keys = {"batch": tape, "event": "undo", "refers": [self._at(day, undone)]}
        return self._line(day, second, {**keys, **({"only": only} if only else {})})

    def _line(self, day: int, second: int, keys: dict[str, object], *, by_hand: bool = False) -> _Line:
        self.order += 1
        told = keys if by_hand else {**keys, "at": self._at(day, second)}
        return _Line(day, second, self.order, f"- {json.dumps(told)}\n")

    def _at(self, day: int, second: int) -> str:
        hour, rest = divmod(second, 3_600)
        return f"{_ISO[day]}T{hour:02}:{rest // 60:02}:{rest % 60:02}.{self.place:06}{self.offset}"


_ISO: Final = [(FIRST_DAY + timedelta(days=day)).isoformat() for day in range(DAYS + 7)]
