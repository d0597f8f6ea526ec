"""The house's own look as a bar uses it: on every page, never in the way of printing, and remembered."""

from __future__ import annotations

import contextlib
import os
import shutil
import struct
from pathlib import Path

import pytest

from tests import pdf
from tests.cli.runner import Run, copy_of_house, run

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
GIVEN = Path(__file__).parents[1] / "look"
PRINTING = (
    ("cards", "anchor"), ("strips",), ("labels",), ("sheet", "rail"), ("sheet", "prep"), ("sheet", "allergens"),
    ("chart", "berry"),
)  # fmt: skip
LOG = (
    '- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 56}\n- {"batch": "BER-1", "event": "open"}\n'
)
MARKED = "look: {logo: mark.svg, logo alt: The Test Quay}\n"
OWN_CARD = """\
#let data = json(bytes(sys.inputs.data))
#set document(title: data.title)
#set text(font: "Inter")
#for item in data.items [= Our own card: #item.name]
"""


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    """The house in Latin letters, with a batch that is off, and a drawing."""
    specs = copy_of_house(tmp_path)
    replaced(specs / "drinks" / "sours.yaml", "燈台守の夏の夕暮れのサワー", "Keeper's Evening Sour")
    (specs / "batches.yaml").write_text(LOG, encoding="utf-8")
    shutil.copy(GIVEN / "mark.svg", specs / "mark.svg")
    return specs


def replaced(path: Path, old: str, new: str) -> None:
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")


def say(specs: Path, text: str) -> str:
    """More keys in the house's file; the text of the file."""
    path = specs / "house.yaml"
    path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")
    return path.read_text(encoding="utf-8")


def printing(specs: Path, *words: str, out: str = "out.pdf") -> tuple[Run, Path]:
    with contextlib.chdir(specs.parent):
        return run(*words, "--out", out, specs=Path(specs.name), env=NOW), specs.parent / out


# A look that is wrong


@pytest.mark.parametrize("words", PRINTING)
def test_a_wrong_look_is_told_and_the_page_is_printed(specs: Path, words: tuple[str, ...]) -> None:
    right, path = printing(specs, *words)
    assert right.code == 0, right.err
    plain = pdf.text(path)
    say(specs, "look: {logo: nope.png, logo alt: The Test Quay, fonts: fonts, family: Quay Sans, language: xx}\n")
    done, path = printing(specs, *words)
    assert done.code == 1
    assert done.out == right.out
    assert "specs/house.yaml:12:" in done.err
    assert pdf.text(path) == plain


@pytest.mark.parametrize("words", [("tonight",), ("totals", "anchor"), ("batch", "list")])
def test_what_is_not_printed_does_not_ask_for_the_look(specs: Path, words: tuple[str, ...]) -> None:
    before = run(*words, specs=specs, env=NOW)
    say(specs, "look: {logo: nope.png}\n")
    after = run(*words, specs=specs, env=NOW)
    assert (after.code, after.out, after.err) == (before.code, before.out, before.err)


def test_check_tells_all_of_it(specs: Path) -> None:
    say(specs, "look: {logo: nope.png, fonts: fonts, family: Quay Sans, template: nope.typ}\n")
    done = run("check", "--json", specs=specs, env=NOW)
    assert done.code == 1
    codes = [problem["code"] for problem in done.data["problems"]]
    assert codes == ["logo-alt", "logo", "fonts", "template"]


# A look that is right


def test_the_card_carries_the_logo_with_its_words(specs: Path) -> None:
    say(specs, MARKED)
    done, path = printing(specs, "cards", "anchor")
    assert (done.code, done.err) == (0, "")
    assert "The Test Quay" in pdf.described(path)


@pytest.mark.parametrize("words", PRINTING)
def test_every_page_takes_fonts_and_language_of_the_house(specs: Path, words: tuple[str, ...]) -> None:
    shutil.copytree(GIVEN / "fonts", specs / "fonts")
    say(specs, "look: {fonts: fonts, family: Noto Sans Arabic, language: de}\n")
    replaced(specs / "house.yaml", "The Test Quay", "النهر")
    replaced(specs / "batches.yaml", "berry-syrup", "berry-شراب")
    for file in (*(specs / "drinks").glob("*.yaml"), specs / "syrups" / "all.yaml"):
        replaced(file, " berry syrup", " berry شراب")
    done, path = printing(specs, *words)
    assert (done.code, done.err) == (0, "")
    assert any("NotoSansArabic" in name for name, _ in pdf.fonts(path))
    assert pdf.language(path) == "de"


@pytest.mark.parametrize(
    ("family", "drink", "syrup"),
    [("Noto Sans Arabic", "ضفة النهر", "شراب التوت"), ("Noto Sans CJK JP", "川岸のサワー", "生姜シロップ")],
)
@pytest.mark.parametrize("words", [("cards",), ("strips",), ("labels",), ("sheet", "rail"), ("sheet", "prep")])
def test_a_bar_of_another_script_prints(
    specs: Path, family: str, drink: str, syrup: str, words: tuple[str, ...]
) -> None:
    for file in (specs / "drinks").glob("*.yaml"):
        file.unlink()
    (specs / "drinks" / "one.yaml").write_text(
        f"drink: {drink}\nmethod: shaken\npours: [60 ml gold rum, 20 ml {syrup}]\ndilution: 40 %\n", encoding="utf-8"
    )
    (specs / "syrups" / "one.yaml").write_text(
        f"syrup: {syrup}\nid: own\nstandard: 50 °Bx\nallergens: []\n", encoding="utf-8"
    )
    (specs / "batches.yaml").write_text(LOG.replace("berry-syrup", "own").replace("BER-1", "OWN-1"), encoding="utf-8")
    shutil.copytree(GIVEN / "fonts", specs / "fonts")
    without, _ = printing(specs, *words)
    assert "the font has no" in without.err + without.out or words == ("sheet", "prep")
    say(specs, f"look: {{fonts: fonts, family: {family}}}\n")
    done, path = printing(specs, *words, out="given.pdf")
    assert (done.code, done.err) == (0, "")
    seen = sorted(pdf.text(path).replace(" ", ""))
    wanted = drink if words in {("cards",), ("sheet", "rail")} else syrup
    assert all(seen.count(sign) >= wanted.count(sign) for sign in wanted if sign != " ")


# Dots


@pytest.mark.parametrize("words", PRINTING)
def test_every_page_is_as_fine_as_asked(specs: Path, words: tuple[str, ...]) -> None:
    _, path = printing(specs, *words, "--dpi", "203", out="fine.png")
    _, usual = printing(specs, *words, out="usual.png")
    first, second = (one if one.exists() else one.with_stem(f"{one.stem}-1") for one in (path, usual))
    wide, usual_wide = (struct.unpack_from(">I", one.read_bytes(), 16)[0] for one in (first, second))
    assert wide / usual_wide == pytest.approx(203 / 150, rel=0.005)


@pytest.mark.parametrize("words", PRINTING)
@pytest.mark.parametrize(
    ("dpi", "out", "says"),
    [
        ("203", "a.pdf", "a .pdf has no dots"),
        ("203", "a.svg", "a .svg has no dots"),
        ("71", "a.png", "from 72 to 1200"),
        ("1201", "a.png", "from 72 to 1200"),
        ("fine", "a.png", '--dpi: "fine" cannot be meant'),
        ("1e9", "a.png", "give a whole number from 72 to 1200"),
        ("150.5", "a.png", "give a whole number from 72 to 1200"),
        ("9" * 5000, "a.png", "give a whole number from 72 to 1200"),
    ],
)
def test_dots_that_cannot_be_meant_are_wrong_usage(
    specs: Path, words: tuple[str, ...], dpi: str, out: str, says: str
) -> None:
    done, path = printing(specs, *words, "--dpi", dpi, out=out)
    assert done.code == 2
    assert says in done.err
    assert not path.exists()


# A file that cannot be written


@pytest.mark.parametrize("words", [*PRINTING, ("export", "drinks")])
def test_where_nothing_can_be_written_is_told_and_left_as_it_is(specs: Path, words: tuple[str, ...]) -> None:
    """A pipe was replaced by a file; a link in a circle and too long a name were a fault of the program."""
    ending = "csv" if words[0] == "export" else "pdf"
    for name, says in (
        ("pipe", "it is a pipe, not a file"), ("round", "leads round in a circle"), ("a" * 300, "name is too long")
    ):  # fmt: skip
        path = specs.parent / f"{name}.{ending}"
        if name == "pipe":
            os.mkfifo(path)
        elif name == "round":
            path.symlink_to(path.name)
        with contextlib.chdir(specs.parent):
            done = run(*words, "--out", path.name, specs=Path(specs.name), env=NOW)
        told = " ".join(done.err.split())
        assert done.code == 1
        assert "cannot be written" in told
        assert says in told
        assert "name another file" in told
    assert (specs.parent / f"pipe.{ending}").is_fifo()
    assert (specs.parent / f"round.{ending}").is_symlink()


@pytest.mark.parametrize("words", [("start",), ("cards", "--copy-template")])
def test_a_folder_with_too_long_a_name_is_no_fault_of_the_program(specs: Path, words: tuple[str, ...]) -> None:
    done = run(*words, "a" * 300, specs=None if words == ("start",) else specs, env=NOW)
    assert done.code == 1
    assert "its name is too long" in " ".join(done.err.split())
    assert "fault of the program" not in done.err


def test_too_many_dots_are_refused_and_nothing_is_written(specs: Path) -> None:
    done, path = printing(specs, "sheet", "rail", "--dpi", "1200", out="a.png")
    assert done.code == 1
    assert "million dots" in done.err
    assert "--dpi 6" in done.err
    assert not path.exists()


# A template of the house


def own_card(specs: Path, text: str = OWN_CARD) -> Path:
    path = specs / "look" / "card.typ"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_cards_take_the_houses_template(specs: Path) -> None:
    own_card(specs)
    say(specs, "look: {template: look/card.typ}\n")
    done, path = printing(specs, "cards", "anchor")
    assert (done.code, done.err) == (0, "")
    assert pdf.text(path).startswith("Our own card: Anchor")


def test_the_one_named_goes_before_the_houses(specs: Path) -> None:
    own_card(specs)
    say(specs, "look: {template: look/card.typ}\n")
    other = own_card(specs, OWN_CARD).rename(specs.parent / "other.typ")
    other.write_text(OWN_CARD.replace("Our own", "Another"), encoding="utf-8")
    own_card(specs)
    _, path = printing(specs, "cards", "anchor", "--template", str(other))
    assert pdf.text(path).startswith("Another card")


@pytest.mark.parametrize("text", ["#let x = ", '#import "@preview/some:1.0.0": *\n', "#panic()"])
def test_a_template_of_the_house_that_cannot_be_set_gives_way(specs: Path, text: str) -> None:
    """The bar opens all the same; what was typed as an option is an error of that moment."""
    _, path = printing(specs, "cards", "anchor")
    plain = pdf.text(path)
    card = own_card(specs, text)
    say(specs, "look: {template: look/card.typ}\n")
    done, path = printing(specs, "cards", "anchor")
    assert done.code == 1
    assert f'the template "{Path("specs/look/card.typ")}"' in done.err
    assert done.first == "1 card, A6 → out.pdf"
    assert pdf.text(path) == plain
    path.unlink()
    done, path = printing(specs, "cards", "anchor", "--template", str(card))
    assert done.code == 1
    assert not path.exists()


HOUSE = "# ours\nformat: 1\nhouse: The Test Quay   # on the door\n"


@pytest.mark.parametrize(
    ("text", "becomes"),
    [
        (HOUSE, HOUSE + "look: {template: look/card.typ}\n"),
        (HOUSE.rstrip("\n"), HOUSE + "look: {template: look/card.typ}"),
        (
            HOUSE + "look: {logo: mark.svg, logo alt: Us}  # by Ilse\ndash: 1 ml\n",
            HOUSE + "look: {logo: mark.svg, logo alt: Us, template: look/card.typ}  # by Ilse\ndash: 1 ml\n",
        ),
        (
            HOUSE + "look:\n    logo: mark.svg  # by Ilse\n    logo alt: Us\n# end\n",
            HOUSE + "look:\n    logo: mark.svg  # by Ilse\n    logo alt: Us\n    template: look/card.typ\n# end\n",
        ),
        (
            HOUSE + "look:\n  template: 'old.typ'  # ours\n  language: en\ndash: 1 ml\n",
            HOUSE + "look:\n  template: 'look/card.typ'  # ours\n  language: en\ndash: 1 ml\n",
        ),
        (HOUSE.replace("\n", "\r\n"), HOUSE.replace("\n", "\r\n") + "look: {template: look/card.typ}\r\n"),
    ],
)
def test_a_template_is_remembered_and_nothing_else_changes(specs: Path, text: str, becomes: str) -> None:
    own_card(specs)
    path = specs / "house.yaml"
    path.write_bytes(text.encode())
    done, _ = printing(specs, "cards", "anchor", "--template", "specs/look/card.typ", "--remember")
    assert path.read_bytes().decode() == becomes
    assert "remembered: specs/house.yaml, line" in done.out
    assert "+" in done.out.partition("remembered: ")[2]
    done, page = printing(specs, "cards", "anchor")
    assert "old.typ" not in done.err
    assert pdf.text(page).startswith("Our own card: Anchor")
    again, _ = printing(specs, "cards", "anchor", "--template", "specs/look/card.typ", "--remember")
    assert "remembered" not in again.out
    assert path.read_bytes().decode() == becomes


def test_a_template_elsewhere_is_counted_from_the_house(specs: Path) -> None:
    card = own_card(specs).rename(specs.parent / "card.typ")
    printing(specs, "cards", "anchor", "--template", str(card), "--remember")
    assert 'look: {template: "../card.typ"}\n' in (specs / "house.yaml").read_text(encoding="utf-8")
    _, page = printing(specs, "cards", "anchor")
    assert pdf.text(page).startswith("Our own card")


def test_what_was_remembered_is_told_to_programs(specs: Path) -> None:
    own_card(specs)
    lines = len((specs / "house.yaml").read_text(encoding="utf-8").splitlines())
    done, _ = printing(specs, "cards", "anchor", "--template", "specs/look/card.typ", "--remember", "--json")
    remembered = done.data["remembered"]
    assert (remembered["path"], remembered["line"]) == ("specs/house.yaml", lines + 1)
    assert "+look: {template: look/card.typ}" in remembered["diff"]
    done, _ = printing(specs, "cards", "anchor", "--json")
    assert done.data["remembered"] is None


@pytest.mark.parametrize("text", ["look:\n", "look: red\n", "look: [red]\n", "ounce: {\n"])
def test_what_cannot_be_changed_alone_is_left_alone(specs: Path, text: str) -> None:
    own_card(specs)
    before = say(specs, text)
    done, path = printing(specs, "cards", "anchor", "--template", "specs/look/card.typ", "--remember")
    assert done.code == 1
    assert done.err
    assert (specs / "house.yaml").read_text(encoding="utf-8") == before
    assert not path.exists()


def test_cards_that_are_written_are_noted_where_their_template_cannot_be_remembered(
    specs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    card = specs / "own.typ"
    card.write_text(OWN_CARD, encoding="utf-8")
    before = (specs / "house.yaml").read_bytes()
    real = Path.replace

    def full(path: Path, target: Path) -> Path:
        if target.name == "house.yaml":
            raise OSError(28, "No space left on device")
        return real(path, target)

    monkeypatch.setattr(Path, "replace", full)
    done, path = printing(specs, "cards", "anchor", "--template", str(card), "--remember")
    assert (done.code, path.is_file(), (specs / "house.yaml").read_bytes()) == (1, True, before)
    assert "the cards are written, but their template is not remembered" in " ".join(done.err.split())
    assert '"anchor-sour"' in (specs / "printed.json").read_text(encoding="utf-8")


def test_without_a_house_file_nothing_is_remembered(specs: Path) -> None:
    own_card(specs)
    (specs / "house.yaml").unlink()
    done, path = printing(specs, "cards", "anchor", "--template", "specs/look/card.typ", "--remember")
    assert done.code == 1
    assert "cannot be remembered" in done.err
    assert not (specs / "house.yaml").exists()
    assert not path.exists()


def test_a_template_that_cannot_be_set_is_not_remembered(specs: Path) -> None:
    own_card(specs, "#let x = ")
    before = (specs / "house.yaml").read_bytes()
    done, _ = printing(specs, "cards", "anchor", "--template", "specs/look/card.typ", "--remember")
    assert done.code == 1
    assert (specs / "house.yaml").read_bytes() == before


def test_remember_needs_a_template(specs: Path) -> None:
    done, path = printing(specs, "cards", "anchor", "--remember")
    assert done.code == 2
    assert "--template F.typ --remember" in done.err
    assert not path.exists()


def test_the_demo_remembers_nothing(specs: Path) -> None:
    card = own_card(specs)
    with contextlib.chdir(specs.parent):
        done = run("cards", "--demo", "--template", str(card), "--remember", "--out", "a.pdf", specs=None, env=NOW)
    assert done.code == 1
    assert "only to look at" in done.err
