"""What a command works with: the bar's folder, the batch log in it, and the clock."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balancer.desk import clock
from balancer.desk.folder import USUAL, find_folder, holds_bar
from balancer.desk.logged import Logged
from balancer.engine.batch.events import Stamp
from balancer.engine.batch.history import batches, counted, night_of
from balancer.engine.batch.now import InUse, in_use
from balancer.engine.drink.bar import Bar
from balancer.errors import CannotError, Problem, ProblemsError, UsageError
from balancer.files.house.base import Shelf
from balancer.files.house.demo import DEMO_EVENING, demo_folder
from balancer.files.house.load import Broken, Loaded, NoBarError, NoFolderError, load, load_house
from balancer.files.house.print_look import read_look
from balancer.files.log.batch_log import LogRead, append_log, read_log
from balancer.files.log.doubted import log_doubts
from balancer.files.log.unknown import unknown_liquids
from balancer.models.batch import Batch, LogEntry
from balancer.models.days import Toward
from balancer.models.house import House
from balancer.models.lengths import refuse_long
from balancer.models.look import PrintLook
from balancer.models.names import NameIndex
from balancer.models.specs import Specs

if TYPE_CHECKING:
    from balancer.output.paper.language import Words

DEVICE: Final = "BALANCER_DEVICE"
"""The environment variable of a device that logs apart from others and is merged with them."""

_MOST_LETTERS: Final = 2


class Desk:
    """A bar's folder, its log and the clock, each read once, when first asked for.

    named    the folder as the user named it, None to find it
    is_demo  whether it is the demo house: it is looked at on its own evening, and never written
    shelf    what was read of a base that several houses share; loaded: what was read of the folder before
    as_json  whether the answer is for a program, so that nobody can be asked
    ask      asks the person at the terminal a question, yes or no; choose asks which of some things is meant
    at       the moment, where the caller says it; the clock's when None
    earlier  a desk of the same bar: what it has read is not read again
    calls    what an option is called where it is asked from: Python has arguments
    noticed  problems that the command meets on its way: told with those of the files, and they touch the answer
    look_problems  what is wrong about the look of printed pages, once that is asked for
    understood  the dates that were said otherwise than by day, month and year, by what was typed
    """

    def __init__(
        self,
        named: Path | None = None,
        *,
        as_json: bool = False,
        ask: Callable[[str], bool] | None = None,
        choose: Callable[[str, Sequence[str]], str | None] | None = None,
        is_demo: bool = False,
        at: datetime | None = None,
        earlier: Desk | None = None,
        calls: Callable[[str], str] = str,
        shelf: Shelf | None = None,
        loaded: Loaded | None = None,
    ) -> None:
        self.named = named
        self._shelf = shelf
        self.ask = ask
        self.choose = choose
        self.calls = calls
        self._told_at = at
        self._earlier = earlier
        self.as_json = as_json
        self.is_demo = is_demo
        self.noticed: list[Problem] = []
        self.understood: dict[str, date] = {}
        self._loaded = loaded
        self._log: LogRead | None = None
        self._lost: tuple[str, ...] = ()
        self._wrote = False
        self.look_problems: list[Problem] = []

    @cached_property
    def found(self) -> Path | None:
        """The folder; None when no folder is named and none is found."""
        return demo_folder() if self.is_demo else find_folder(self.named)

    @property
    def folder(self) -> Path:
        """The folder, to be read. Raises NoFolderError when none is found."""
        if self.found is None:
            raise NoFolderError
        return self.found

    @property
    def own_folder(self) -> Path:
        """The folder, to be written in. Raises CannotError for the demo house, which is everybody's."""
        if self.is_demo:
            raise CannotError("demo", "the demo is only to look at", "a bar of your own: balancer start DIR --demo")
        return self.folder

    @property
    def loaded(self) -> Loaded:
        """What the folder holds, and what of it is broken.

        Raises NoFolderError when there is none, NoBarError when it holds nothing of a bar: whatever was answered
        of it would be about somebody else's folder.
        """
        if self._loaded is None and self._earlier is not None:
            self._loaded = self._earlier.loaded
        if self._loaded is None:
            if self.folder.is_dir() and not holds_bar(self.folder):
                raise NoBarError(self.folder)
            self._loaded = load(self.folder, shelf=self._shelf)
        return self._loaded

    def any_folder(self) -> None:
        """Read a folder even where it holds nothing of a bar, to say just that; and all that its pages take."""
        self._loaded = load(self.folder, shelf=self._shelf, look=True)

    def only_house(self, *, tells_missing: bool = False) -> None:
        """Read house.yaml alone, for a question that names nothing else: a folder is not needed.

        tells_missing  whether a folder that the user named is told when it is not there
        """
        folder = self.found or USUAL
        if self._earlier is not None:
            house, problems = self._earlier.house, self._earlier.loaded.house_problems
        else:
            house, problems = load_house(folder)
        is_missing = tells_missing and self.found is not None and not folder.is_dir()
        told = NoFolderError(folder).problems() if is_missing else problems
        specs = Specs(house, {}, {}, {}, NameIndex(), NameIndex())
        self._loaded = Loaded(specs, told, house_problems=problems)

    def again(self) -> Desk:
        """A desk for the next question about what was read, at the same moment. What this one noticed is not its."""
        return Desk(self.named, as_json=True, is_demo=self.is_demo, at=self.at, earlier=self, calls=self.calls)

    @property
    def specs(self) -> Specs:
        """The sound part of the folder."""
        return self.loaded.specs

    @property
    def house(self) -> House:
        """The house."""
        return self.specs.house

    @cached_property
    def look(self) -> PrintLook:
        """What printed pages take from the house; what of it is wrong is left out, told, and touches the answer."""
        found, told = read_look(self.folder, self._shelf)
        self.look_problems += told
        return found

    @property
    def words(self) -> Words:
        """The words of its printed pages."""
        from balancer.output.paper.language import words_of  # noqa: PLC0415 - only what prints needs it

        return words_of(self.look.language)

    @cached_property
    def bar(self) -> Bar:
        """The bar that the engine asks."""
        before = self._earlier
        return before.bar if before is not None and before.loaded is self.loaded else Bar(self.specs)

    @cached_property
    def at(self) -> datetime:
        """The moment of the command."""
        return self._told_at or clock.now(DEMO_EVENING if self.is_demo else None)

    @cached_property
    def today(self) -> date:
        """The date of the working day."""
        return night_of(self.at, self.house.day_ends)

    def day(self, text: str, option: str, toward: Toward = "near") -> date:
        """The date that an option means; told beside the answer where it was not written out."""
        found = clock.day(text, option, self.today, toward)
        if str(found.year) not in text:
            self.understood[f"{option} {text.strip()}"] = found
        return found

    def night(self, text: str | None) -> date:
        """The night that --date means; without it, the working day that it is."""
        return self.today if text is None else self.day(text, self.calls("--date"))

    @property
    def entries(self) -> tuple[LogEntry, ...]:
        """The entries of the log in the order of their lines, as it was when first asked for."""
        return self._read_log().entries

    @property
    def lines(self) -> tuple[int, ...]:
        """The line of every entry of the log."""
        log = self._read_log()
        return tuple(log.line(index) for index in range(len(log.entries)))

    @property
    def log_problems(self) -> tuple[Problem, ...]:
        """Every problem of the log."""
        log = self._read_log()
        return (*log.problems, *self._unknown_liquids, *self._log_doubts)

    @cached_property
    def _log_doubts(self) -> tuple[Problem, ...]:
        return log_doubts(self._read_log(), self.batches, self.bar)

    @cached_property
    def _unknown_liquids(self) -> tuple[Problem, ...]:
        """Nothing is called unknown while files are out of reach that may name it; those are told."""
        return () if self.loaded.missing else unknown_liquids(self._read_log(), self.batches, self.specs)

    def doubts(self, about: Iterable[str] | None) -> tuple[Problem, ...]:
        """What is doubted about some drinks, syrups and ingredients, by their ids; about all of them when None."""
        if self._loaded is None or not self._loaded.doubts:
            return ()
        ids = [*self._loaded.doubts] if about is None else list(about)
        drinks = [each for each in ids if each in self.specs.drinks]
        return self._loaded.doubts_about(drinks, [each for each in ids if each not in self.specs.drinks])

    @cached_property
    def batches(self) -> tuple[Batch, ...]:
        """Every batch of the log."""
        before = self._earlier
        if before is not None and before.loaded is self.loaded:
            self._read_log()
            return before.batches
        return batches(self.entries, self.specs)

    @cached_property
    def in_use(self) -> InUse:
        """What is in use on the working day, and which strength counts."""
        return in_use(self.bar, self.batches, self.today)

    @property
    def can_ask(self) -> bool:
        """Whether a person is there to be asked."""
        return not self.as_json and self.ask is not None and sys.stdin.isatty()

    def believe(self, doubts: Iterable[str | None], *, is_meant: bool) -> None:
        """Ask about what looks like a slip, where somebody can be asked and has not said that it is meant.

        Raises CannotError when it is not meant, or nobody is there to say so.
        """
        for doubt in doubts:
            if doubt is None or is_meant:
                continue
            yes = self.calls("--yes")
            question = f"{doubt[0].upper()}{doubt[1:]}{'' if doubt.endswith('?') else '.'} Is it meant?"
            if not self.can_ask or self.ask is None or not self.ask(question):
                raise CannotError("doubt", doubt, f"correct it, or add {yes} if it is meant")

    def until(self, night: date) -> tuple[tuple[LogEntry, ...], tuple[Batch, ...]]:
        """The entries that count for a night, and every batch as they leave it."""
        entries = counted(self.entries, night, self.at, self.house.day_ends)
        return entries, batches(entries, self.specs)

    def stamp(self, by: str | None = None, note: str | None = None) -> Stamp:
        """Who logs something, and when. Raises UsageError for a name or a remark that is too long."""
        refuse_long("by", by, "--by")
        refuse_long("note", note, "--note")
        return Stamp(self.at, by, note)

    @property
    def device(self) -> str:
        """The letters of this device in the ids that it gives; "" where none are set. Raises UsageError for others."""
        text = os.environ.get(DEVICE, "").strip()
        if text and not (text.isalpha() and len(text) <= _MOST_LETTERS):
            raise UsageError("usage", f'{DEVICE} is "{text}"', "set it to a letter or two, another on every device")
        return text.upper()

    @property
    def lost_ids(self) -> tuple[str, ...]:
        """Ids in broken lines of the log, never to be given again; known while `log` asks what to append."""
        return self._lost

    def log(self, make: Callable[[tuple[LogEntry, ...]], Sequence[LogEntry]]) -> Logged:
        """Append what make returns, safely on the disk before this returns.

        Raises BalancerError as `append_log` does.
        """
        seen: list[LogEntry] = []

        def noticed(log: LogRead) -> Sequence[LogEntry]:
            seen[:], self._lost = log.entries, log.lost
            return make(log.entries)

        written = append_log(self.own_folder, noticed, now=self.at)
        self._wrote = True
        log = (*seen, *written)
        return Logged(written, batches(seen, self.specs), batches(log, self.specs), log)

    def problems(self) -> tuple[Problem, ...]:
        """Every problem of what was read, and what the command noticed."""
        files = self._loaded.problems if self._loaded else ()
        files = tuple(dict.fromkeys((*files, *self.look_problems)))
        return (*files, *((*self.log_problems, *self._log.ahead) if self._log else ()), *self.noticed)

    def touching(self) -> tuple[Problem, ...]:
        """Those that touch whatever is answered. What is logged stays logged, whatever else the log holds."""
        files = (*self._loaded.house_problems, *self._loaded.missing) if self._loaded else ()
        log = self.log_problems if self._log and not self._wrote else ()
        return (*files, *self.look_problems, *log, *self.noticed)

    def problems_of(
        self, about: Iterable[str] | None = None, touching: Iterable[Broken | Problem] = ()
    ) -> tuple[Problem, ...]:
        """What an answer rests on that is not right: where it is anything, the answer is not to be trusted unread.

        about, touching  as an answer has them
        """
        own = [told for each in touching for told in (each.problems if isinstance(each, Broken) else (each,))]
        return tuple(dict.fromkeys((*self.doubts(about), *own, *self.touching())))

    @property
    def ahead(self) -> tuple[Problem, ...]:
        """Entries of the log that are from the future."""
        return self._read_log().ahead

    def _read_log(self) -> LogRead:
        """The log, read once. Raises ProblemsError when it cannot be read: what is open is unknown then."""
        if self._log is None:
            log = self._earlier._read_log() if self._earlier is not None else read_log(self.folder, self.at)
            if log.unreadable:
                raise ProblemsError([log.unreadable])
            self._log = log
        return self._log
