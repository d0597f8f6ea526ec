"""The page on safety as a terminal shows it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, Final, NamedTuple

from balancer.output.words.page import wrap

MORE: Final = "balancer safety"
"""Where there is more to read, at the end of an answer that somebody may be hurt by."""

_LINK: Final = re.compile(r"\[([^\]]*)\]\([^)]*\)")


class SafetySection(NamedTuple):
    """One section of the page, without its marks."""

    title: str
    text: str


def safety_sections(page: str) -> tuple[SafetySection, ...]:
    """The sections of the page as it is written, the first of them what stands above all."""
    plain = _LINK.sub(r"\1", page).replace("**", "").replace("`", "").replace("*", "")
    parts = re.split(r"^#+ ", plain, flags=re.MULTILINE)
    titled = [part.partition("\n") for part in parts if part.strip()]
    return tuple(SafetySection(title, text.strip("\n")) for title, _, text in titled)


def about(sections: Iterable[SafetySection], topic: str) -> tuple[SafetySection, ...]:
    """The sections in whose title a word begins with a topic."""
    wanted = topic.strip().casefold()
    return tuple(one for one in sections if any(word.startswith(wanted) for word in _words(one.title)))


def safety_text(sections: Iterable[SafetySection]) -> str:
    """Sections with their titles, as wide as an answer."""
    return "\n\n".join("\n".join([one.title.upper(), "", *_lines(one.text)]) for one in sections)


def safety_data(sections: Iterable[SafetySection]) -> dict[str, Any]:
    """The JSON object of `safety`."""
    return {"sections": [one._asdict() for one in sections]}


def _lines(text: str) -> list[str]:
    """The lines of a section; a paragraph or an item of a list runs on until the next."""
    parts: list[str] = []
    for line in text.splitlines():
        if not line or line.startswith("- ") or not parts or not parts[-1]:
            parts.append(line)
        else:
            parts[-1] += f" {line.strip()}"
    return [line for part in parts for line in wrap(part, 2 if part.startswith("- ") else 0)]


def _words(title: str) -> list[str]:
    return re.findall(r"\w+", title.casefold())
