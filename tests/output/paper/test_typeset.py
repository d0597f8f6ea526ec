"""Pages: what is refused, and by which name."""

from __future__ import annotations

import importlib.resources
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from balancer.errors import CannotError
from balancer.output.paper.printed_page import FORMATS
from balancer.output.paper.typeset import TEMPLATES, UnprintableError, typeset

pytestmark = pytest.mark.slow

AT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
TEMPLATE = '#import "press.typ": each, press\n#show: _ => press(each((it, width) => { heading(it.name); it.more }))\n'


@pytest.fixture
def template(tmp_path: Path) -> Path:
    (tmp_path / "press.typ").write_bytes((TEMPLATES / "press.typ").read_bytes())
    path = tmp_path / "card.typ"
    path.write_text(TEMPLATE, encoding="utf-8")
    return path


def page(*names: str, more: str = "", height: float | None = 50.0) -> dict[str, Any]:
    return {
        "title": "a page",
        "layout": {
            "item": [60.0, height], "page": [60.0, height], "margin": 5.0, "places": [[0, 0]], "marks": [],
        },
        "items": [{"name": name, "more": more} for name in names],
    }  # fmt: skip


@pytest.mark.parametrize(("name", "start"), [("pdf", b"%PDF-1.7"), ("png", b"\x89PNG\r\n"), ("svg", b"<svg")])
def test_every_kind_of_page(template: Path, name: str, start: bytes) -> None:
    (kind,) = [kind for kind in FORMATS if kind == name]
    pages = typeset(template, page("one", "two"), kind, AT)
    assert len(pages) == (1 if kind == "pdf" else 2)
    assert all(found.startswith(start) for found in pages)


def test_the_same_words_make_the_same_file(template: Path) -> None:
    first, second = (typeset(template, page("one"), "pdf", AT) for _ in range(2))
    assert first == second


@pytest.mark.parametrize(
    ("names", "bad", "says"),
    [
        (["fine", "دجلة"], {"دجلة"}, "U+062F"),  # Arabic
        (["fine", "ירדן"], {"ירדן"}, "U+05D9"),  # Hebrew
        (["fine", "茶"], {"茶"}, "U+8336"),
        (["fine", "🍸 hour"], {"🍸 hour"}, "U+1F378"),
    ],
)
def test_a_script_without_signs_is_told_with_its_name(
    template: Path, names: list[str], bad: set[str], says: str
) -> None:
    with pytest.raises(UnprintableError) as caught:
        typeset(template, page(*names), "png", AT)
    assert caught.value.names == bad
    (problem,) = caught.value.problems()
    assert problem.code == "no-glyph"
    assert says in problem.message


@pytest.mark.parametrize("char", ["\u202e", "\u2067", "\u200f", "\x07", "\x1b"])
def test_signs_that_turn_text_around_are_refused(template: Path, char: str) -> None:
    with pytest.raises(UnprintableError) as caught:
        typeset(template, page("fine", f"ab{char}cd"), "pdf", AT)
    (problem,) = caught.value.problems()
    assert problem.code == "invisible-character"
    assert f"U+{ord(char):04X}" in problem.message
    assert char not in problem.message


def test_the_text_that_is_told_stands_in_a_file(template: Path) -> None:
    """It quoted what the page makes of it: "Evil, overleaf"."""
    data = page("Evil\u202e")
    data["items"][0] = {"overleaf": "Evil\u202e, overleaf", **data["items"][0]}
    with pytest.raises(UnprintableError) as caught:
        typeset(template, data, "pdf", AT)
    assert str(caught.value.problems()[0].message).endswith('in "Evil�"')
    data = page("Fine")
    data["items"][0] |= {"said": "garnish li\u202eme, overleaf", "garnish": "li\u202eme"}
    with pytest.raises(UnprintableError) as caught:
        typeset(template, data, "pdf", AT)
    assert str(caught.value.problems()[0].message).endswith('in "li�me"')


def test_a_fault_of_the_template_is_told_with_its_line(template: Path) -> None:
    source = template.read_text(encoding="utf-8")
    template.write_text(source + "\n#let one = 1 +\n", encoding="utf-8")
    with pytest.raises(CannotError, match=f"cannot be set: line {source.count(chr(10)) + 2}: expected expression"):
        typeset(template, page("one"), "pdf", AT)
    (template.parent / "part.typ").write_text("#let fine = 1\n#let bad = nonsuch\n", encoding="utf-8")
    template.write_text(f'#import "part.typ": bad\n{source}', encoding="utf-8")
    with pytest.raises(CannotError, match=r"cannot be set: part\.typ line 2: unknown variable: nonsuch"):
        typeset(template, page("one"), "pdf", AT)


def test_every_item_that_does_not_fit_is_named(template: Path) -> None:
    long = "much more than fits on a page as small as this one " * 20
    data = page("one", "two", "three")
    for item in data["items"][:2]:
        item["more"] = long
    with pytest.raises(UnprintableError) as caught:
        typeset(template, data, "pdf", AT)
    assert caught.value.names == {"one", "two"}
    assert {problem.code for problem in caught.value.problems()} == {"no-room"}


def test_on_a_roll_the_page_is_as_long_as_its_text(template: Path) -> None:
    typeset(template, page("one", more="much more than fits on a page " * 20, height=None), "pdf", AT)


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ('#import "@preview/some:1.0.0": *\n' + TEMPLATE, "imports a package"),
        (TEMPLATE.replace("{ heading", '{ set text(font: "Nonsuch"); heading'), "unknown font family: nonsuch"),
        ("#let x = ", "expected expression"),
        ('#import "nonsuch.typ": a\n', "nonsuch.typ"),
        (TEMPLATE.replace("it.more", "it.nonsuch"), "nonsuch"),
    ],
)
def test_a_fault_of_the_template_is_told_as_one(template: Path, source: str, says: str) -> None:
    template.write_text(source, encoding="utf-8")
    with pytest.raises(CannotError) as caught:
        typeset(template, page("one"), "pdf", AT)
    assert caught.value.code == "template"
    assert says.casefold() in caught.value.message.casefold()


def test_a_template_for_older_data_is_told_what_to_do(template: Path) -> None:
    template.write_text(TEMPLATE.replace("it.more", "it.contains"), encoding="utf-8")
    with pytest.raises(CannotError) as caught:
        typeset(template, page("one"), "pdf", AT)
    (problem,) = caught.value.problems()
    assert problem.code == "template"
    assert '"contains"' in problem.message
    assert "--copy-template" in str(problem.remedy)


def test_what_a_template_tells_of_its_pages_comes_back(template: Path) -> None:
    assert typeset(template, page("one"), "pdf", AT).told is None
    said = "[#metadata((sides: (1, 2)))<told>]; it.more"
    template.write_text(TEMPLATE.replace("it.more", said), encoding="utf-8")
    for kind in FORMATS:
        assert typeset(template, page("one"), kind, AT).told == {"sides": [1, 2]}


def test_a_template_that_is_no_text_is_told(template: Path) -> None:
    template.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(CannotError, match="not UTF-8"):
        typeset(template, page("one"), "pdf", AT)


def test_texts_of_the_house_are_never_markup(template: Path) -> None:
    hostile = ['#import "x.typ": *', "$x^2$ *b* _i_ `r` @ref <lab> \\ // c", "<script>", "=cmd", '#panic("x")', "[["]
    typeset(template, page(*hostile), "pdf", AT)


def test_the_fonts_come_with_their_licence() -> None:
    fonts = importlib.resources.files("balancer.output.paper") / "fonts"
    assert "SIL Open Font License" in (fonts / "OFL.txt").read_text(encoding="utf-8")
    assert {path.name for path in fonts.iterdir()} == {
        "Inter-Bold.otf", "Inter-Regular.otf", "Inter-SemiBold.otf", "OFL.txt",
    }  # fmt: skip
