"""Words that `edit` says on the screen and in JSON alike."""

from __future__ import annotations

from typing import NamedTuple


class FileChange(NamedTuple):
    """The lines of a file that change: its path, the 1-based line, and the text before and after."""

    path: str
    line: int
    old: str
    new: str

    def diff(self) -> list[str]:
        """The change as a unified diff without the lines around it: it is in one place, so no search is needed."""
        old, new = self.old.splitlines(), self.new.splitlines()
        first, last = self.line - 1, self.line - 1
        while old[last + 1 :] != new[last + 1 + len(new) - len(old) :]:
            last += 1
        taken, put = old[first : last + 1], new[first : last + 1 + len(new) - len(old)]
        place = f"@@ -{_lines(self.line, taken)} +{_lines(self.line, put)} @@"
        head = [f"--- {self.path}", f"+++ {self.path}", place]
        return [*head, *(f"-{line}" for line in taken), *(f"+{line}" for line in put)]

    def shown(self) -> list[str]:
        """The same for a person: the file and the line, then what goes and what comes."""
        return [f"{self.path}, line {self.line}", *self.diff()[3:]]


def _lines(first: int, lines: list[str]) -> str:
    return str(first) if len(lines) == 1 else f"{first},{len(lines)}"
