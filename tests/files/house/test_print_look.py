"""How a house's pages look: which keys count, what is told, and what is left out."""

from __future__ import annotations

import os
import shutil
import struct
import zlib
from collections.abc import Mapping
from pathlib import Path

import pytest

from balancer.errors import Problem
from balancer.files.house.load import load
from balancer.files.house.print_look import read_look
from balancer.files.sizes import LOGO
from balancer.models.look import LANGUAGES, PLAIN_LOOK, Logo
from balancer.output.paper.language import languages
from tests.files.folders import write

GIVEN = Path(__file__).parents[2] / "look"
SVG = (GIVEN / "mark.svg").read_bytes()
START = b'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9">'


def house(folder: Path, look: str, files: Mapping[str, bytes] | None = None, keys: str = "") -> Path:
    """The sound bar with a look, and what it names: the tests' drawings and fonts, and files of one's own."""
    write(folder, {"house.yaml": f"format: 1\nhouse: The Test Slip\n{keys}look: {look}\n", **(files or {})})
    for name in ("mark.svg", "mark.png", "mark.jpg"):
        if not (folder / name).exists():
            shutil.copy(GIVEN / name, folder / name)
    shutil.copytree(GIVEN / "fonts", folder / "fonts", dirs_exist_ok=True)
    return folder


def png_of(width: int, height: int) -> bytes:
    """A white PNG of one bit a dot (ISO/IEC 15948): small as a file, whatever it takes unpacked."""
    packer = zlib.compressobj()
    row = b"\0" + b"\xff" * ((width + 7) // 8)
    rows = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    parts = ((b"IHDR", struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)), (b"IDAT", rows), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data)) for name, data in parts
    )


def jpg_of(width: int, height: int) -> bytes:
    """The tests' drawing, saying that it is larger: its frame header has height and width (ISO/IEC 10918-1, B.2.2)."""
    content = bytearray((GIVEN / "mark.jpg").read_bytes())
    at = next(at for at in range(len(content)) if content[at] == 0xFF and content[at + 1] in (0xC0, 0xC2))
    struct.pack_into(">HH", content, at + 5, height, width)
    return bytes(content)


def told(problems: tuple[Problem, ...]) -> list[tuple[str, str, int | None, int | None]]:
    return [(one.code, Path(one.path or "").parent.name, one.line, one.column) for one in problems]


def test_a_house_that_says_nothing_looks_plain(tmp_path: Path) -> None:
    assert read_look(write(tmp_path)) == (PLAIN_LOOK, ())


def test_there_are_words_for_every_language_that_can_be_asked_for() -> None:
    assert sorted(LANGUAGES) == sorted(languages())


@pytest.mark.parametrize("kind", ["svg", "png", "jpg"])
def test_the_whole_look(tmp_path: Path, kind: str) -> None:
    (tmp_path / "card.typ").write_text("any", encoding="utf-8")
    keys = f"logo: mark.{kind}, logo alt: The Test Slip, fonts: fonts, family: noto sans arabic, language: DE"
    look, problems = read_look(house(tmp_path, f"{{{keys}, template: card.typ}}"))
    assert problems == ()
    assert look.logo == Logo(kind, (GIVEN / f"mark.{kind}").read_bytes(), "The Test Slip")  # type: ignore[arg-type]
    assert (look.fonts, look.family, look.has_latin) == (tmp_path / "fonts", "Noto Sans Arabic", False)
    assert (look.language, look.template) == ("de", tmp_path / "card.typ")


def test_the_bundled_family_needs_no_fonts(tmp_path: Path) -> None:
    look, problems = read_look(house(tmp_path, "{family: INTER}"))
    assert problems == ()
    assert (look.family, look.has_latin) == ("Inter", True)


def test_a_family_may_lie_beside_the_template(tmp_path: Path) -> None:
    folder = house(tmp_path, "{family: Noto Sans CJK JP, template: cards/card.typ}", {"cards/card.typ": b"any"})
    assert [one.code for one in read_look(folder)[1]] == ["font-family"]
    (folder / "fonts").rename(folder / "cards" / "fonts")
    look, problems = read_look(folder)
    assert problems == ()
    assert look.family == "Noto Sans CJK JP"


def test_everything_that_is_wrong_is_told_in_one_run(tmp_path: Path) -> None:
    look = "\n  logo: nope.svg\n  fonts: nope\n  family: Nope\n  language: xx\n  template: nope.typ\n  colour: red"
    folder = house(tmp_path, look)
    expected = [
        ("logo-alt", tmp_path.name, 4, 9), ("logo", tmp_path.name, 4, 9), ("fonts", tmp_path.name, 5, 10),
        ("choice", tmp_path.name, 7, 13), ("template", tmp_path.name, 8, 13), ("unknown-key", tmp_path.name, 9, 3),
    ]  # fmt: skip
    found, problems = read_look(folder)
    assert told(problems) == expected
    assert found == PLAIN_LOOK
    assert told(load(folder, look=True).problems) == expected
    assert all(one.remedy and one.excerpt for one in problems)


@pytest.mark.parametrize(
    ("wrong", "right"),
    [("logo", "family: Inter"), ("language", "logo: mark.svg, logo alt: A mark"), ("colour", "language: de")],
)
def test_what_is_wrong_costs_nothing_else(tmp_path: Path, wrong: str, right: str) -> None:
    look, problems = read_look(house(tmp_path, f"{{{wrong}: nope, {right}}}"))
    assert problems != ()
    alone, none = read_look(house(tmp_path / "alone", f"{{{right}}}"))
    assert none == ()
    assert look == alone != PLAIN_LOOK


@pytest.mark.parametrize("look", ["{logo: nope.svg}", "{colour: red}", "red", "{language: xx}"])
def test_only_what_is_printed_is_touched(tmp_path: Path, look: str) -> None:
    """Tonight's pours do not hang on a logo."""
    loaded = load(house(tmp_path, look), look=True)
    assert loaded.problems != ()
    assert loaded.house_problems == ()
    assert load(house(tmp_path / "other", look, keys="dash: 3\n")).house_problems != ()


@pytest.mark.parametrize("key", ["logo", "fonts", "template"])
@pytest.mark.parametrize(
    "path",
    [
        "",
        "[a]",
        "{a: b}",
        "a" * 5000,
        '"\\0"',
        '"\\uD800"',
        "/",
        "..",
        ".",
        "~",
        "/dev/zero",
        "house.yaml/x.svg",
        "c:\\x",
    ],
)
def test_any_path_is_told_at_its_line(tmp_path: Path, key: str, path: str) -> None:
    """Never an error of the system, nor a wait; `check` reads the same."""
    folder = write(tmp_path / "bar", {"house.yaml": f"format: 1\nhouse: Slip\nlook:\n  {key}: {path}\n"})
    look, problems = read_look(folder)
    loaded = load(folder, look=True)
    assert problems
    assert {one.line for one in loaded.problems} == {4}
    assert look == PLAIN_LOOK


def test_a_folder_of_everything_is_no_folder_of_fonts(tmp_path: Path) -> None:
    """Nobody waits while a whole disk is searched."""
    folder = house(tmp_path, "{fonts: all, family: Noto Sans Arabic}")
    shutil.copytree(folder / "fonts", folder / "all")
    for number in range(2000):
        (folder / "all" / f"{number}.txt").touch()
    (problem,) = read_look(folder)[1]
    assert problem.code == "fonts"
    assert "more than 2,000 files" in problem.message


class TestLogos:
    @pytest.mark.parametrize(
        ("name", "content", "says"),
        [
            ("mark.svg", b"<html></html>", "not really an .svg"),
            ("mark.svg", b"<svg", "not really an .svg"),
            ("mark.svg", b"\x1f\x8b\x08 packed", "not really an .svg"),
            ("mark.svg", b"\xff\xfe<\x00s\x00", "not really an .svg"),
            ("mark.svg", b"", "not really an .svg"),
            ("mark.svg", b'<!DOCTYPE svg [<!ENTITY a "b">]>' + START + b"&a;</svg>", "ENTITY"),
            ("mark.svg", START + b'<image href="quay.png"/></svg>', "not inside it: quay.png"),
            ("mark.svg", START + b'<image xlink:href="http://x.example/a.png"/></svg>', "not inside it: http:"),
            ("mark.svg", START + b'<use href="/etc/passwd#a"/></svg>', "not inside it: /etc/passwd#a"),
            ("mark.svg", START + b"<rect fill=\"url( 'a.svg#b')\"/></svg>", "not inside it: a.svg#b"),
            ("mark.svg", START + b"<style>@import 'a.css';</style></svg>", "not inside it: a.css"),
            ("mark.svg", START + b"<g><text>Slip</text></g></svg>", "hang on a font"),
            ("mark.png", SVG, "not really a .png"),
            ("mark.png", (GIVEN / "mark.png").read_bytes()[:90], "cannot be read as a drawing"),
            ("mark.jpg", (GIVEN / "mark.png").read_bytes(), "not really a .jpg"),
            ("mark.JPEG", b"\xff\xd8\xff nothing else", "cannot be read as a drawing"),
            ("mark.jpg", (GIVEN / "mark.jpg").read_bytes()[:-2], "its end is missing"),
            ("mark.jpg", (GIVEN / "mark.jpg").read_bytes()[:400], "its end is missing"),
            ("mark.jpg", jpg_of(4001, 10), "4001 × 10 dots"),
            ("mark.png", png_of(20000, 20000), "20000 × 20000 dots"),
            ("mark.png", png_of(1, 4001), "1 × 4001 dots"),
            ("mark.gif", b"GIF89a", "no drawing that can be printed"),
            ("mark", SVG, "no drawing that can be printed"),
            ("mark.svg", SVG + b" " * LOGO.most, "it is 2.1 MB, and at most 2 MB are read"),
        ],
    )
    def test_what_is_no_logo_is_told_and_left_out(self, tmp_path: Path, name: str, content: bytes, says: str) -> None:
        look, problems = read_look(house(tmp_path, f"{{logo: {name}, logo alt: A mark}}", {name: content}))
        (problem,) = problems
        assert problem.code == "logo"
        assert says in problem.message
        assert look.logo is None

    @pytest.mark.parametrize(
        "inside",
        [
            b'<a href="http://x.example"><rect width="3" height="3"/></a>',
            b'<defs><g id="a"><rect width="3" height="3"/></g></defs><use xlink:href="#a" fill="url(#b)"/>',
            b'<image width="3" height="3" href="data:image/png;base64,iVBORw0KGgo="/>',
            b"<script>alert(1)</script><rect width='3' height='3'/>",
        ],
    )
    def test_what_is_all_inside_is_one(self, tmp_path: Path, inside: bytes) -> None:
        content = b"\xef\xbb\xbf" + START + inside + b"</svg>"
        look, problems = read_look(house(tmp_path, "{logo: mark.svg, logo alt: A mark}", {"mark.svg": content}))
        assert problems == ()
        assert look.logo is not None
        assert look.logo.svg.encode() == content[3:]

    @pytest.mark.parametrize(("width", "height"), [(4000, 4000), (4000, 10)])
    def test_as_large_as_it_may_be_it_is_taken(self, tmp_path: Path, width: int, height: int) -> None:
        content = png_of(width, height)
        look, problems = read_look(house(tmp_path, "{logo: mark.png, logo alt: A mark}", {"mark.png": content}))
        assert problems == ()
        assert look.logo is not None

    def test_what_a_camera_writes_behind_the_end_is_no_harm(self, tmp_path: Path) -> None:
        content = (GIVEN / "mark.jpg").read_bytes() + b"made by a camera"
        look, problems = read_look(house(tmp_path, "{logo: mark.jpg, logo alt: A mark}", {"mark.jpg": content}))
        assert problems == ()
        assert look.logo is not None

    @pytest.mark.parametrize("order", ["<", ">"])
    @pytest.mark.parametrize("turn", [1, 3, 6, 8])
    def test_a_photograph_that_lies_on_its_side_is_told(self, tmp_path: Path, order: str, turn: int) -> None:
        """A JPEG's Exif segment as phones write it: one entry, the orientation (Exif 2.3, 4.5.4 and 4.6.4)."""
        tiff = {"<": b"II*\0", ">": b"MM\0*"}[order] + struct.pack(f"{order}IHHHIHHI", 8, 1, 0x0112, 3, 1, turn, 0, 0)
        segment = b"\xff\xe1" + struct.pack(">H", len(tiff) + 8) + b"Exif\0\0" + tiff
        plain = (GIVEN / "mark.jpg").read_bytes()
        content = plain[:2] + segment + plain[2:]
        look, problems = read_look(house(tmp_path, "{logo: mark.jpg, logo alt: A mark}", {"mark.jpg": content}))
        assert ([one.code for one in problems], look.logo is None) == (([], False) if turn == 1 else (["logo"], True))
        assert all("lies on its side" in one.message for one in problems)

    def test_a_folder_a_pipe_and_a_link_to_nowhere_are_told(self, tmp_path: Path) -> None:
        folder = house(tmp_path, "{logo: one.svg, logo alt: A mark}")
        makers = (Path.mkdir, os.mkfifo, lambda path: path.symlink_to("nowhere"))
        for make in makers:
            make(folder / "one.svg")
            (problem,) = read_look(folder)[1]
            assert problem.code == "logo"
            (folder / "one.svg").rmdir() if make is Path.mkdir else (folder / "one.svg").unlink()


class TestOnABase:
    def test_keys_count_one_by_one_each_from_the_folder_that_says_it(self, tmp_path: Path) -> None:
        house(tmp_path / "group", "{logo: mark.svg, logo alt: The group, fonts: fonts, family: Noto Sans CJK JP}")
        own = house(tmp_path / "stair", "{logo: own.png, language: de}", {"own.png": (GIVEN / "mark.png").read_bytes()})
        shutil.rmtree(own / "fonts")
        (own / "house.yaml").write_text(
            "format: 1\nhouse: The Low Stair\nbase: ../group\nlook: {logo: own.png, language: de}\n", encoding="utf-8"
        )
        look, problems = read_look(own)
        assert problems == ()
        assert look.logo == Logo("png", (GIVEN / "mark.png").read_bytes(), "The group")
        assert (look.fonts, look.family, look.language) == (tmp_path / "group" / "fonts", "Noto Sans CJK JP", "de")
        specs = load(own).specs
        assert specs.house.look is not None
        assert (specs.house.look.logo, specs.house.look.logo_alt) == ("own.png", "The group")

    def test_a_problem_of_the_base_is_told_at_its_place(self, tmp_path: Path) -> None:
        house(tmp_path / "group", "{logo: nope.svg, logo alt: The group}")
        own = write(tmp_path / "stair", {"house.yaml": "format: 1\nhouse: The Low Stair\nbase: ../group\n"})
        look, problems = read_look(own)
        assert told(problems) == [("logo", "group", 3, 14)]
        assert look == PLAIN_LOOK
        assert load(own, look=True).house_problems == ()

    def test_where_the_house_is_wrong_the_base_does_not_stand_in(self, tmp_path: Path) -> None:
        """A bar that wants another logo is not to print its group's."""
        house(tmp_path / "group", "{logo: mark.svg, logo alt: The group}")
        text = "format: 1\nhouse: The Low Stair\nbase: ../group\nlook: {logo: nope.svg}\n"
        look, problems = read_look(write(tmp_path / "stair", {"house.yaml": text}))
        assert told(problems) == [("logo", "stair", 4, 14)]
        assert look.logo is None
