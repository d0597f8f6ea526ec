"""The fonts in a house's folders, as the typesetter reads them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import typst

_SHOWN = b"#set document(title: [-])\n#set text(font: sys.inputs.family, fallback: false)\n#sys.inputs.text"


class FontShelf:
    """The fonts in some folders and those below, each file read once, when first asked for.

    What only ends like a font is passed over.
    """

    def __init__(self, folders: Sequence[Path]) -> None:
        self.folders = tuple(folders)

    @cached_property
    def _fonts(self) -> typst.Fonts:
        from typst import Fonts  # noqa: PLC0415 - 7 ms that only printing needs

        return Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=list(self.folders))

    @property
    def families(self) -> list[str]:
        """The families, as they call themselves."""
        return self._fonts.families() if self.folders else []

    def has_any_of(self, folder: Path) -> bool:
        """Whether a font of one of the folders could be read."""
        return any(font.path and Path(font.path).is_relative_to(folder) for font in self._fonts.fonts())

    def shows(self, family: str, text: str) -> bool:
        """Whether a family has a sign for every letter of a text."""
        import typst  # noqa: PLC0415 - as above

        inputs = {"family": family, "text": text}
        try:
            typst.Compiler(_SHOWN, font_paths=self._fonts, sys_inputs=inputs).compile(
                format="pdf", pdf_standards="ua-1"
            )
        except typst.TypstError:
            return False
        return True
