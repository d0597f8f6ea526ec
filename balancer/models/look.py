"""How a bar's printed pages look: its sign, its letters and its language, in house.yaml and as pages take it."""

from __future__ import annotations

from binascii import b2a_base64
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Final, Literal, get_args

from pydantic import Field, PlainValidator

from balancer.models.fields import EditorSchema, FileModel, Name, fail, one_of, plain_text

LOOK: Final = "look"
"""The key of it in house.yaml."""

LogoKind = Literal["svg", "png", "jpg"]
LOGO_KINDS: Final[tuple[LogoKind, ...]] = get_args(LogoKind)

ENGLISH: Final = "en"
LANGUAGES: Final = (ENGLISH, "de")
"""The languages that there are words for: ISO 639-1."""

BUNDLED_FAMILY: Final = "Inter"
"""The letters that come with the program; every page can fall back on them."""

_LONGEST_PATH: Final = 500


def _path(value: object) -> str:
    text = plain_text(value, "look/mark.svg").strip()
    if "\0" in text or len(text) > _LONGEST_PATH:
        told = "no file has a name with a zero in it" if "\0" in text else "no file has so long a name"
        raise fail("path", told, "type the line again")
    return text


_PlacePath = Annotated[str, PlainValidator(_path), EditorSchema({"type": "string", "minLength": 1})]


class HouseLook(FileModel):
    """How the house's pages look, as house.yaml says it; paths are counted from that file's own folder."""

    logo: _PlacePath | None = None
    logo_alt: Name | None = Field(None, alias="logo alt")
    fonts: _PlacePath | None = None
    family: Name | None = None
    language: Annotated[str, *one_of(*LANGUAGES)] | None = None
    template: _PlacePath | None = None


@dataclass(frozen=True, slots=True)
class Logo:
    """The house's own sign, as its file has it, and what it shows in words."""

    kind: LogoKind
    content: bytes
    alt: str

    @property
    def svg(self) -> str:
        """The drawing as SVG: a picture of dots stands in one, which is set sooner than from numbers."""
        if self.kind == "svg":
            return self.content.decode("utf-8-sig")
        kind = "jpeg" if self.kind == "jpg" else self.kind
        dots = b2a_base64(self.content, newline=False).decode("ascii")
        return f'<svg xmlns="http://www.w3.org/2000/svg"><image href="data:image/{kind};base64,{dots}"/></svg>'


@dataclass(frozen=True, slots=True)
class PrintLook:
    """What every printed page takes from the house.

    logo      none: no sign is printed
    fonts     a folder of font files beside the bundled ones
    family    the letters to print in, before the bundled ones; a family of that folder
    has_latin whether that family has Latin letters; one of another script alone stands behind the bundled ones
    language  of the words on paper: ISO 639-1, one of those there are words for
    template  the house's own card; None for the built-in one
    """

    logo: Logo | None = None
    fonts: Path | None = None
    family: str | None = None
    has_latin: bool = True
    language: str = ENGLISH
    template: Path | None = None


PLAIN_LOOK: Final = PrintLook()
"""That of a house that says nothing of it."""
