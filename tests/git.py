"""Real git, that reads nobody's settings."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path
from typing import Final

GIT: Final = shutil.which("git") or ""
_WHO: Final = {
    "GIT_AUTHOR_NAME": "Ilse",
    "GIT_AUTHOR_EMAIL": "ilse",
    "GIT_COMMITTER_NAME": "Ilse",
    "GIT_COMMITTER_EMAIL": "ilse",
}


def git(folder: Path, *words: str) -> str:
    """What git prints; it has to succeed."""
    env = {"PATH": os.environ["PATH"], "GIT_CONFIG_NOSYSTEM": "1", "GIT_CONFIG_GLOBAL": os.devnull, **_WHO}
    done = subprocess.run([GIT, *words], cwd=folder, env=env, check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr + done.stdout
    return done.stdout
