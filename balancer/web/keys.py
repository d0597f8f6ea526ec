"""The key that lets a device on the network log: made once, kept, entered once on each device."""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import secrets
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from balancer.errors import CannotError
from balancer.files.reading import read_bytes
from balancer.files.sizes import STATE

_SIGNS: Final = "ACDEFGHJKMNPQRTUVWXY3479"
"""Letters and figures that nobody takes for another one when they are read aloud."""
_GROUPS: Final = 4
_GROUP: Final = 4
_BYTES: Final = 32


@dataclass(frozen=True, slots=True)
class PageKey:
    """The key people type, and the secret that signs cookies and forms. 4 × 4 signs of 24: 73 bits."""

    key: str
    secret: bytes

    @property
    def is_whole(self) -> bool:
        """Whether it is a key that nobody guesses: of a file that was cut short it is none."""
        signs = self.key.replace("-", "")
        return len(signs) == _GROUPS * _GROUP and set(signs) <= set(_SIGNS) and len(self.secret) >= _BYTES

    def is_key(self, typed: str) -> bool:
        """Whether somebody typed the key, however they grouped it."""
        plain = "".join(sign for sign in typed.upper() if sign.isalnum())[:64]
        return hmac.compare_digest(plain.encode(), self.key.replace("-", "").encode())

    def sign(self, purpose: str, text: str) -> str:
        """A signature that nobody makes without the secret; another one for every purpose."""
        return hmac.new(self.secret, f"{purpose}:{text}".encode(), hashlib.sha256).hexdigest()

    def is_signed(self, purpose: str, text: str, signature: str) -> bool:
        """Whether a signature is one of ours."""
        return hmac.compare_digest(self.sign(purpose, text).encode(), signature.encode())


def new_key() -> PageKey:
    """A key and secret from the machine's own source of chance."""
    groups = ("".join(secrets.choice(_SIGNS) for _ in range(_GROUP)) for _ in range(_GROUPS))
    return PageKey("-".join(groups), secrets.token_bytes(_BYTES))


def kept_key(folder: Path, *, renew: bool = False) -> PageKey:
    """The key of a bar's folder, from where this machine keeps such things; made when there is none.

    renew  make a new one, so that every device must enter it again
    It is kept outside the folder, which may be shared. Raises CannotError when it cannot be kept.
    """
    path = state_file("page", folder)
    if not renew:
        try:
            found = json.loads(read_bytes(path, STATE))
            kept = PageKey(str(found["key"]), bytes.fromhex(found["secret"]))
        except (OSError, ValueError, KeyError, TypeError):
            kept = PageKey("", b"")  # none yet, or none that can be read: another one takes its place
        if kept.is_whole:
            return kept
    made = new_key()
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        text = json.dumps({"key": made.key, "secret": made.secret.hex()})
        scratch = path.with_suffix(f".{os.getpid()}")
        with os.fdopen(os.open(scratch, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        scratch.replace(path)
    except OSError as error:
        raise CannotError("unwritable", f'"{path}" cannot be written: {error.strerror}', "set XDG_STATE_HOME") from None
    return made


def state_file(kind: str, folder: Path) -> Path:
    """Where this machine keeps what it remembers of a bar's folder (XDG Base Directory; %LOCALAPPDATA% on Windows)."""
    told = os.environ.get("XDG_STATE_HOME") or (os.environ.get("LOCALAPPDATA") if sys.platform == "win32" else None)
    kept = Path(told) if told else Path.home() / ".local" / "state"
    return kept / "balancer" / f"{kind}-{hashlib.sha256(str(folder.resolve()).encode()).hexdigest()[:16]}.json"
