"""A desk that writes, too: the folder, the clock, and the batch log before and after."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any, NoReturn

from balancer.cli import clock
from balancer.cli.desk import Desk, show_answer, tell
from balancer.engine.batch.events import Stamp, find_batch
from balancer.engine.batch.history import batch_key, batches, night_of
from balancer.engine.batch.notes import BatchNow, describe
from balancer.errors import Problem, UsageError
from balancer.files.log.batch_log import Make, append_log, read_log
from balancer.models.batch import Batch, LogEntry


class Bench(Desk):
    """A loaded folder with its log.

    at      the moment of the command; today is the date of its working day
    entries what `read` found in the log
    before  every batch as it stood before the command wrote anything
    after   every batch as it stands now
    """

    def __init__(self, specs: Path, *, as_json: bool) -> None:
        super().__init__(specs, as_json=as_json)
        self.folder = specs
        self.at: datetime = clock.now()
        self.today = night_of(self.at, self.house.day_ends)
        self.entries: tuple[LogEntry, ...] = ()
        self.before: tuple[Batch, ...] = ()
        self.after: tuple[Batch, ...] = ()
        self._log_problems: tuple[Problem, ...] = ()

    def stamp(self, by: str | None = None, note: str | None = None) -> Stamp:
        """Who logs something, and when."""
        return Stamp(self.at, by, note)

    def read(self, until: date | None = None) -> tuple[Problem, ...]:
        """Look at the log, as it stood at the end of a night when one is given. Returns its problems."""
        entries, self._log_problems = read_log(self.folder)
        if until is not None:
            ends = self.house.day_ends
            entries = tuple(entry for entry in entries if entry.at is None or night_of(entry.at, ends) <= until)
        self.entries = entries
        self.before = self.after = batches(entries, self.loaded.specs)
        return self._log_problems

    def log(self, make: Make) -> tuple[LogEntry, ...]:
        """Append what make returns, safely on the disk before this returns."""
        seen: list[LogEntry] = []

        def noticed(entries: tuple[LogEntry, ...]) -> Sequence[LogEntry]:
            seen[:] = entries
            return make(entries)

        written = append_log(self.folder, noticed)
        self.before = batches(seen, self.loaded.specs)
        self.after = batches([*seen, *written], self.loaded.specs)
        return written

    def liquid(self, text: str, *, is_ingredient: bool) -> str:
        """The id of a syrup or ingredient; where the name may mean either, is_ingredient decides.

        Raises UsageError and ProblemsError as `find` does.
        """
        specs = self.loaded.specs
        meant = [identity for identity in specs.liquid_names.find(text) if identity in specs.ingredients]
        if is_ingredient and len(meant) == 1:
            return meant[0]
        try:
            return self.find("syrups", text)
        except UsageError as error:
            if len(meant) == 1 and error.code != "ambiguous-name":
                return meant[0]
            raise

    def named(self, names: Iterable[str]) -> list[Batch]:
        """The batches that names mean, each once, in the order named; closed ones too, so that they can be refused."""
        found = [find_batch(self.before, self.loaded.specs, name) for name in names]
        return list({batch.id: batch for batch in found}.values())

    def batch(self, identity: str, known: Sequence[Batch] | None = None) -> Batch:
        """A batch of the log, as it stands now unless other batches are given."""
        key = batch_key(identity)
        return next(batch for batch in (self.after if known is None else known) if batch_key(batch.id) == key)

    def item(self, batch: Batch) -> BatchNow:
        """A batch with what the files say of it."""
        return describe(self.bar, batch, self.today)

    def done(self, text: str, data: dict[str, Any]) -> NoReturn:
        """Tell what was logged. Problems elsewhere are told, and do not make it undone."""
        show_answer(text, data, [], as_json=self.as_json)
        tell(self.loaded.problems, as_json=self.as_json)
        raise SystemExit(0)

    def listed(self, text: str, data: dict[str, Any], working: Sequence[str] = ()) -> NoReturn:
        """Answer from the log; its problems touch the answer."""
        self.noticed += self._log_problems
        self.answer(text, data, list(working))
