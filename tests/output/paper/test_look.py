"""The house's own look on a page: its sign with its words, its letters, its language, and scripts that need a font."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any, get_args

import pytest

from balancer.errors import CannotError
from balancer.models.look import BUNDLED_FAMILY, PLAIN_LOOK, Logo, LogoKind, PrintLook
from balancer.output.paper.printed_page import FORMATS
from balancer.output.paper.typeset import UnprintableError, typeset
from tests import pdf

AT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
GIVEN = Path(__file__).parents[2] / "look"
FONTS = GIVEN / "fonts"
TEMPLATE = """\
#let data = json(bytes(sys.inputs.data))
#set document(title: data.title)
#set page(width: 100mm, height: 50mm, margin: 5mm)
#set text(font: data.look.family, lang: data.look.language, fallback: false, size: 20pt)
#for item in data.items [= #item.name]
#if data.look.logo != none {
  let logo = data.look.logo
  image(bytes(logo.data), format: logo.kind, width: 30mm, alt: logo.alt)
}
"""
ARABIC = "ضفة النهر"
JAPANESE = "川岸のサワー"
ARAB = PrintLook(fonts=FONTS, family="Noto Sans Arabic", has_latin=False)
JAPAN = PrintLook(fonts=FONTS, family="Noto Sans CJK JP", has_latin=False)


@pytest.fixture
def template(tmp_path: Path) -> Path:
    path = tmp_path / "one.typ"
    path.write_text(TEMPLATE, encoding="utf-8")
    return path


def data(*names: str) -> dict[str, Any]:
    return {"title": "a page", "items": [{"name": name} for name in names]}


def printed(template: Path, look: PrintLook, *names: str) -> Path:
    path = template.with_suffix(".pdf")
    path.write_bytes(typeset(template, data(*names), "pdf", AT, look)[0])
    return path


def logo(kind: LogoKind) -> Logo:
    return Logo(kind, (GIVEN / f"mark.{kind}").read_bytes(), "Ilse's “slip” & <quay>")


@pytest.mark.parametrize("kind", get_args(LogoKind))
def test_a_logo_of_each_kind_is_printed_and_told_in_words(template: Path, kind: LogoKind) -> None:
    path = printed(template, PrintLook(logo=logo(kind)), "one")
    assert pdf.described(path) == ["Ilse's “slip” & <quay>"]
    assert pdf.described(printed(template, PLAIN_LOOK, "one")) == []


def test_words_that_turn_around_do_not(template: Path) -> None:
    look = PrintLook(logo=Logo("svg", (GIVEN / "mark.svg").read_bytes(), "The \u202eSlip"))
    assert pdf.described(printed(template, look, "one")) == ["The \ufffdSlip"]


@pytest.mark.parametrize("kind", ["png", "jpg"])
def test_a_picture_of_dots_keeps_its_shape(template: Path, kind: LogoKind) -> None:
    """It is twice as wide as high, and the template gives it 30 mm."""
    ((width, height),) = pdf.pictures(printed(template, PrintLook(logo=logo(kind)), "one"))
    assert (width, height) == pytest.approx((30.0, 15.0), abs=0.1)


@pytest.mark.parametrize("kind", get_args(LogoKind))
@pytest.mark.parametrize("file", FORMATS)
def test_a_logo_is_in_every_kind_of_file(template: Path, kind: LogoKind, file: Any) -> None:
    look = PrintLook(logo=logo(kind))
    (with_logo,), (without,) = (typeset(template, data("one"), file, AT, one) for one in (look, PLAIN_LOOK))
    assert len(with_logo) > len(without)


def test_the_house_prints_in_its_own_letters(template: Path) -> None:
    """What they lack comes from the bundled ones: of these only the digits are the house's."""
    look = PrintLook(fonts=FONTS, family="Noto Sans Arabic")
    names = [name.partition("+")[2] for name, _ in pdf.fonts(printed(template, look, "Slip 12"))]
    assert sorted(names) == ["Inter-Bold", "NotoSansArabic-Regular"]
    names = [name.partition("+")[2] for name, _ in pdf.fonts(printed(template, ARAB, "Slip 12"))]
    assert names == ["Inter-Bold"]


def test_a_family_that_no_font_has_is_told(template: Path) -> None:
    with pytest.raises(CannotError) as caught:
        typeset(template, data("one"), "pdf", AT, PrintLook(family="Quay Sans"))
    assert caught.value.code == "font-family"
    assert "Quay Sans" in caught.value.message
    assert "fonts:" in caught.value.remedy


@pytest.mark.parametrize(("name", "look"), [(ARABIC, ARAB), (JAPANESE, JAPAN)])
def test_another_script_prints_when_the_house_gives_a_font(template: Path, name: str, look: PrintLook) -> None:
    with pytest.raises(UnprintableError) as caught:
        typeset(template, data("fine", name), "pdf", AT)
    (problem,) = caught.value.problems()
    assert caught.value.names == {name}
    assert (problem.code, "look: {fonts:" in problem.remedy) == ("no-glyph", True)
    path = printed(template, look, "fine", name)
    assert all(is_embedded for _, is_embedded in pdf.fonts(path))
    seen = pdf.text(path).replace(" ", "")
    assert seen.startswith("fine")
    assert sorted(seen.removeprefix("fine")) == sorted(name.replace(" ", ""))


def test_arabic_letters_join_and_run_from_right_to_left(template: Path) -> None:
    """The first letter stands furthest right; joined letters are narrower than the same ones apart."""
    words = pdf.words(printed(template, ARAB, ARABIC))
    first, second = ARABIC.split()
    places = {word.text: word.left for word in words}
    read = {"".join(reversed(text)): left for text, left in places.items()} | places
    assert read[first] > read[second]

    def width(text: str) -> float:
        found = pdf.words(printed(template, ARAB, text))
        return max(word.right for word in found) - min(word.left for word in found)

    apart = "\u200c".join("ضفة")  # a sign that keeps letters from joining
    assert width("ضفة") < 0.9 * width(apart)


def test_what_the_house_gives_may_lack_signs_too(template: Path) -> None:
    with pytest.raises(UnprintableError) as caught:
        typeset(template, data(JAPANESE), "pdf", AT, ARAB)
    (problem,) = caught.value.problems()
    assert f"neither Noto Sans Arabic nor {BUNDLED_FAMILY} has" in problem.message
    assert "look: of house.yaml" in problem.remedy


def test_the_language_of_the_page_is_said(template: Path) -> None:
    assert pdf.language(printed(template, PrintLook(language="de"), "eins")) == "de"
    assert pdf.language(printed(template, PLAIN_LOOK, "one")) == "en"
