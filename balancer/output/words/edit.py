"""Words that a changed spec has on the screen and in JSON alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from balancer.engine.swaps.edited import DrinkEdited
from balancer.errors import Problem
from balancer.models.drink import Drink
from balancer.output.words.numbers import some

KeptState = Literal["asking", "not written", "written"]
NOBODY: Final = "nobody can be asked here: --yes writes it"
_MOST_LINES: Final = 6
_MOST_NAMES: Final = 4


def unsigned_text(drinks: Sequence[tuple[Drink, Drink]]) -> str:
    """Whose name changed drinks lose, because nobody said who changes them; "" where none does. drinks: before, after.

    It is theirs who wrote the old version, and a card would show it for the new one.
    """
    names = dict.fromkeys(old.by for old, new in drinks if old.by and new.by is None)
    return f"no longer signed by {some([*names], _MOST_NAMES)}: nobody said who changes it" if names else ""


class FileHunk(NamedTuple):
    """Lines of a file that change together: how many stand in front of them, before and after; and what they are."""

    above: int
    new_above: int
    taken: list[str]
    put: list[str]

    @property
    def rows(self) -> list[str]:
        """What goes and what comes."""
        return [*(f"-{line}" for line in self.taken), *(f"+{line}" for line in self.put)]


class FileChange(NamedTuple):
    """A file that changes: its path, and its text before and after; nothing before where it is new.

    copy_of  the file of the base of which it will be a copy, with old for its text
    names    how many other names it has on the disk, which keep the old text
    """

    path: str
    old: str
    new: str
    copy_of: str | None = None
    names: int = 0

    @property
    def parted(self) -> list[str]:
        """What becomes of the other names of the file, if it has any."""
        if not self.names:
            return []
        has = "another name" if self.names == 1 else f"{self.names} other names"
        return [f"it has {has} on this disk (a hard link): the text stays as it was there"]

    @property
    def line(self) -> int:
        """The 1-based line of the first that changes; where lines only come, of the first of those."""
        first = next(iter(self.hunks()), None)
        return 1 if first is None else first.above + 1

    def hunks(self) -> list[FileHunk]:
        """What changes, in the order of the file."""
        from difflib import SequenceMatcher  # noqa: PLC0415 - 10 ms at every start, and few answers show a change

        old, new = self.old.splitlines(), self.new.splitlines()
        first = 0
        while first < min(len(old), len(new)) and old[first] == new[first]:
            first += 1
        last = 0  # a search goes through what is between alone: a file may hold thousands of drinks
        while last < min(len(old), len(new)) - first and old[-1 - last] == new[-1 - last]:
            last += 1
        old, new = old[first : len(old) - last], new[first : len(new) - last]
        found = SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
        return [FileHunk(first + a, first + b, old[a:c], new[b:d]) for tag, a, c, b, d in found if tag != "equal"]

    def diff(self) -> list[str]:
        """The change as a unified diff without the lines around it."""
        hunks = self.hunks()
        was = self.copy_of or (self.path if self.old else "/dev/null")
        head = [f"--- {was}", f"+++ {self.path}"] if hunks else []
        return [*head, *(row for hunk in hunks for row in (_place(hunk), *hunk.rows))]

    def shown(self, lead: str = "") -> list[str]:
        """The same for a person: the file and the lines, then what goes and what comes. lead says what was done."""
        hunks = self.hunks()
        where = some([str(hunk.above + 1) for hunk in hunks], _MOST_LINES)
        lines = f", line{'s' if len(hunks) > 1 else ''} {where}" if self.old else ", a new file"
        copy = [f"a copy of {self.copy_of}, which is shared and stays as it is"] if self.copy_of else []
        return [f"{lead}{self.path}{lines}", *copy, *self.parted, *(row for hunk in hunks for row in hunk.rows)]


@dataclass(frozen=True, slots=True)
class Kept:
    """A changed drink on its way into its file.

    state    asking: a person is shown it; otherwise whether it was written
    doubted  what `check` will say of it
    """

    edited: DrinkEdited
    change: FileChange
    state: KeptState
    doubted: tuple[Problem, ...] = ()

    @property
    def lead(self) -> str:
        """What was done, in front of the answer."""
        return "" if self.state == "asking" else f"{self.state}: "

    @property
    def written(self) -> bool:
        """Whether the file holds it now."""
        return self.state == "written"


def _place(hunk: FileHunk) -> str:
    return f"@@ -{_lines(hunk.above, hunk.taken)} +{_lines(hunk.new_above, hunk.put)} @@"


def _lines(above: int, lines: list[str]) -> str:
    """Where lines stand as a unified diff says it: of none the line they would stand behind."""
    return str(above + 1) if len(lines) == 1 else f"{above + 1 if lines else above},{len(lines)}"
