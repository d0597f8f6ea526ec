"""Text as one YAML value, whatever the text: plain where every reader takes it for that text, else in quotes."""

from __future__ import annotations

import json
import re
from typing import Final

from balancer.errors import CannotError
from balancer.unseen import NO_TEXT

_PLAIN: Final = re.compile(r"[^\W_](?:[\w .,'’/%°()&+-]*[\w.'’%°)])?")
# What other readers of YAML take for a number, a date, a truth value or nothing.
_TYPED: Final = re.compile(
    r"[-+]?[0-9.][0-9_,.]*(?:e[-+]?[0-9]+)?|0[xob][0-9a-f_]+|[0-9]+-[0-9]+-[0-9]+.*|null|true|false|yes|no|on|off|y|n"
    r"|nan|inf",
    re.IGNORECASE,
)


def plain_or_quoted(text: str, *, inside: bool = False) -> str:
    r"""A text as it may stand behind a key or a hyphen; `inside` is inside brackets, where a comma ends a value.

    Raises CannotError for a character that cannot be seen: none of a bar's files may hold one.

    >>> plain_or_quoted("lime juice"), plain_or_quoted("#1 rum"), plain_or_quoted("007")
    ('lime juice', '"#1 rum"', '"007"')
    """
    found = NO_TEXT.search(text)
    if found:
        raise CannotError("invisible", f"an invisible character (U+{ord(found[0]):04X}) is in this text", "delete it")
    is_plain = _PLAIN.fullmatch(text) and not _TYPED.fullmatch(text) and not (inside and "," in text)
    return text if is_plain else json.dumps(text, ensure_ascii=False)
