"""Writing a whole file: it is either there in full, or as it was."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from balancer.errors import CannotError


def save(path: Path, content: bytes) -> None:
    """Put a file in place of what is there, if anything.

    Raises CannotError when it cannot be written.
    """
    try:
        descriptor, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            Path(name).chmod(0o666 & ~_umask())
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise CannotError("unwritable", f'"{path}" cannot be written: {error.strerror}', "name another file") from None


def _umask() -> int:
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
