"""Writing the files of an import: all of them, or none; and of one that was killed, which."""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress
from pathlib import Path

from balancer.errors import CannotError
from balancer.files.house.broken_off import HalfImport, import_mark
from balancer.files.house.load import Loaded, load
from balancer.files.house.writing import writing
from balancer.files.reading import read_bytes
from balancer.files.save import UNFINISHED, save, save_new
from balancer.files.sheets.plan import Plan
from balancer.files.sizes import SPECS
from balancer.models.imported import Imported

_AGAIN = "run the import again"


def write(folder: Path, before: Loaded, planned: Plan) -> Imported:
    """Write the files of a plan, and return what was written; nobody else writes into the folder meanwhile.

    before  the folder as the plan was made on it
    Raises CannotError when the folder is another one by now, or one of the files cannot be written or is there; what
    was written before it is taken away again. Killed in the middle, it leaves a mark that `check` tells.
    """
    result = planned.result
    mark = folder / import_mark(hashlib.sha256(os.path.realpath(result.path).encode()).hexdigest())
    if not planned.files:
        if all(one.state == "already there" for one in result.drinks):  # it was killed behind the last file
            _forget(mark)
        return result
    with writing(folder, planned.files):
        if _held(load(folder)) != _held(before):
            raise CannotError("changed", f'"{folder}" was changed meanwhile; nothing was written', _AGAIN)
        files = tuple(Path(os.path.relpath(path, folder)).as_posix() for path in planned.files)
        save(mark, HalfImport(result.path, files).text.encode(), remedy="nothing was written; make room")
        try:
            save_new(planned.files, code="import-exists", again=_AGAIN)
        finally:
            _forget(mark)
    drinks = tuple(one._replace(state="written") if one.state == "ready" else one for one in result.drinks)
    return result._replace(drinks=drinks, is_written=True)


def _held(loaded: Loaded) -> tuple[object, ...]:
    """What a plan was made on."""
    specs = loaded.specs
    return specs.house, {**specs.ingredients}, {**specs.syrups}, {**specs.drinks}, loaded.problems


def _forget(mark: Path) -> None:
    """Take the mark away, and unfinished ones; one that stays is told by `check`."""
    with suppress(OSError):
        for path in (mark, *mark.parent.glob(f".{mark.name}.*{UNFINISHED}")):
            path.unlink(missing_ok=True)


def save_map(path: Path, text: str) -> None:
    """Write the map that was used. One that says the same may be there already.

    Raises CannotError when another file is there, or it cannot be written.
    """
    raw = text.encode()
    if os.path.lexists(path):
        with suppress(OSError):
            if read_bytes(path, SPECS) == raw:
                return
        raise CannotError(
            "import-exists", f'"{path}" is there already, and differs', "name another file for --save-map"
        )
    save(path, raw)
