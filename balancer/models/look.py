"""How a bar's printed pages look: its sign, its letters and its language."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal, get_args

LogoKind = Literal["svg", "png", "jpg"]
LOGO_KINDS: Final[tuple[LogoKind, ...]] = get_args(LogoKind)

ENGLISH: Final = "en"


@dataclass(frozen=True, slots=True)
class Logo:
    """The house's own sign, as its file has it, and what it shows in words."""

    kind: LogoKind
    content: bytes
    alt: str


@dataclass(frozen=True, slots=True)
class PrintLook:
    """What every printed page takes from the house.

    logo      none: no sign is printed
    fonts     a folder of font files beside the bundled ones
    family    the letters to print in, before the bundled ones; a family of that folder
    language  of the words on paper: ISO 639-1, one of those there are words for
    template  the house's own card; None for the built-in one
    """

    logo: Logo | None = None
    fonts: Path | None = None
    family: str | None = None
    language: str = ENGLISH
    template: Path | None = None
