"""Writing the files of an import: all of them, or none."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from balancer.errors import CannotError
from balancer.files.reading import read_bytes
from balancer.files.save import save, save_new
from balancer.files.sheets.plan import Plan
from balancer.files.sizes import SPECS
from balancer.models.imported import Imported


def write(planned: Plan) -> Imported:
    """Write the files of a plan, and return what was written.

    Raises CannotError when one of them cannot be written or is there by now; what was written before it is taken
    away again.
    """
    save_new(planned.files, code="import-exists", again="run the import again")
    result = planned.result
    drinks = tuple(one._replace(state="written") if one.state == "ready" else one for one in result.drinks)
    return result._replace(drinks=drinks, is_written=True)


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
