"""How large each kind of file may be: a larger one is no such file, and reading it would only take long."""

from __future__ import annotations

from typing import Final

from balancer.files.reading import SizeLimit

_MB: Final = 1024 * 1024

SPECS: Final = SizeLimit(16 * _MB, "split it, or move it out of this folder")
"""A file of specs, house.yaml or the map of an import: 10,000 drinks in one file are some 3 MB."""

LOG: Final = SizeLimit(
    32 * _MB, "keep a copy of it elsewhere, and delete lines of years ago, not those of batches that are in the house"
)
"""The batch log: fifty entries a day for fifteen years."""

NOTES: Final = SizeLimit(16 * _MB, "keep the last line of each entry, and delete those before")
"""What the base said of entries that the house has its own for: a kilobyte each."""

CARDS: Final = SizeLimit(32 * _MB, "bring back a copy, or move it away: then every card counts as not printed yet")
"""The list of printed cards, each with its spec: some 2 kB a drink, once for each."""

SHEET: Final = SizeLimit(8 * _MB, "split it into several files")
"""A spreadsheet to import: 50,000 rows of specs are some 5 MB."""

LOGO: Final = SizeLimit(2 * _MB, "save it smaller: 1000 dots across are plenty")
"""A drawing that stands on every card of a menu."""

FONT: Final = SizeLimit(64 * _MB, "take a font of fewer letters, or of one weight")
"""One file of a font: those of all Chinese signs in several weights are some 20 MB."""

TEMPLATE: Final = SizeLimit(_MB, "make it anew: balancer cards --copy-template DIR")
"""The house's own card: the built-in one is 20 kB."""

STATE: Final = SizeLimit(_MB, "delete it: it is made anew")
"""What this machine remembers of the page: its key, and the ticks of one day."""

MARK: Final = SizeLimit(4 * _MB, "delete it")
"""What an import is to write: the names of some 3000 files."""
