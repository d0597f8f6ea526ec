"""`cards` as a manager types it, and what comes out of the printer."""

from __future__ import annotations

import contextlib
import json
import os
import re
from pathlib import Path
from typing import Any

import pytest

from balancer.files.house.printed import FILE
from balancer.models.print_mark import SIGNS
from tests import pdf
from tests.cli.runner import Run, copy_of_house, run

pytestmark = pytest.mark.slow

OLD_PRESS = """\
#let data = json(bytes(sys.inputs.data))
#let press(draw) = context {
  let on = data.layout
  for it in data.items { block(width: on.item.at(0) * 1mm, draw(it, on.full, on.least)) }
}
"""
OLD_CARD = '#import "press.typ": press\n#show: _ => press((it, scale, width) => { heading(it.name); it.contains })\n'
NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
DEMO = Path(__file__).parent.parent.parent / "specs"


def cards(folder: Path, *words: str, specs: Path | None = None, out: str = "cards.pdf") -> tuple[Run, Path]:
    house = specs or (folder / "specs" if (folder / "specs").exists() else copy_of_house(folder))
    with contextlib.chdir(folder):  # a short name, so that it stays on its line
        return run("cards", *words, "--out", out, specs=house, env=NOW), folder / out


def house_with(folder: Path, *drinks: dict[str, Any]) -> Path:
    """The house with only these drinks."""
    specs = copy_of_house(folder)
    for path in (specs / "drinks").iterdir():
        path.unlink()
    for number, drink in enumerate(drinks):
        spec = {"method": "shaken", "pours": ["60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup"]} | drink
        (specs / "drinks" / f"{number:02d}.yaml").write_text(json.dumps(spec, ensure_ascii=False), encoding="utf-8")
    return specs


def demo(folder: Path) -> Path:
    """The demo house, where the tests may write."""
    specs = folder / "specs"
    for path in sorted(path for path in DEMO.rglob("*") if path.is_file()):
        copy = specs / path.relative_to(DEMO)
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(path.read_bytes())
    return specs


# What is said on the screen


def test_the_first_line_is_the_answer(tmp_path: Path) -> None:
    done, _ = cards(tmp_path, "anchor", "foam", "--on", "a4")
    assert (done.code, done.err) == (0, "")
    assert done.first == "2 cards, A6, 4 to a page: 1 page of A4 → cards.pdf"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--size", "a5"], "choose one of a6, 4x6, 3x5"),
        (["--on", "a3"], "choose one of a4, letter"),
        (["--units", "cl"], "choose one of ml, oz, both"),
        (["--template", "nonsuch.typ"], "there is no file"),
        (["nonsuch"], "no drink is called"),
    ],
)
def test_wrong_usage_is_told(tmp_path: Path, words: list[str], says: str) -> None:
    done, path = cards(tmp_path, *words)
    assert done.code == 2
    assert says in done.err
    assert not path.exists()


def test_without_out_nothing_is_printed() -> None:
    done = run("cards")
    assert done.code == 2
    assert "--out cards.pdf" in done.err


def test_a_file_that_is_no_page_is_refused(tmp_path: Path) -> None:
    done, _ = cards(tmp_path, out="cards.docx")
    assert (done.code, "end it in .pdf, .png or .svg" in done.err) == (2, True)


def test_unknown_allergens_are_said_on_the_screen_too(tmp_path: Path) -> None:
    done, _ = cards(tmp_path, "dark")
    assert "allergens not known for every pour of Dark Pilot" in done.out


def test_a_broken_drink_is_left_out_and_told(tmp_path: Path) -> None:
    copy_of_house(tmp_path, drinks__loose="drink: Loose Plank\nmethod: shaken\npours: [20 ml nonsuch]\n")
    done, path = cards(tmp_path)
    assert done.code == 1
    assert "left out, see below" in done.out.replace("\n    ", " ")
    assert "nonsuch" in done.err
    assert path.exists()


def test_what_cannot_be_printed_keeps_no_other_card_back(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "Plain Sour"}, {"drink": "燈台"}, {"drink": "word " * 400})
    done, path = cards(tmp_path, "--json", specs=specs)
    assert done.code == 1
    assert [card["name"] for card in done.data["cards"]] == ["Plain Sour"]
    assert done.data["left_out"] == 2
    assert {problem["code"] for problem in json.loads(done.err)["problems"]} == {"no-glyph", "too-long"}
    assert "燈台" in done.err
    assert [card["name"] for card in noted(specs)] == ["Plain Sour"]
    assert path.exists()


def test_when_no_card_can_be_printed_nothing_is_written(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "燈台"})
    done, path = cards(tmp_path, specs=specs)
    assert (done.code, done.out) == (1, "")
    assert not path.exists()
    assert not (specs / FILE).exists()


def test_png_and_svg_are_one_file_a_page(tmp_path: Path) -> None:
    for kind in ("png", "svg"):
        done, _ = cards(tmp_path, "anchor", "foam", "--draft", "--json", out=f"c.{kind}")
        assert done.data["files"] == [f"c-1.{kind}", f"c-2.{kind}"]
        assert all((tmp_path / file).stat().st_size > 1000 for file in done.data["files"])


# What is on the paper


def test_a_card_reads_in_order(tmp_path: Path) -> None:
    specs = house_with(
        tmp_path,
        {
            "drink": "Quay Flip", "time": "12 s", "glass": "coupe", "ice": "none", "strain": "double",
            "garnish": "nutmeg", "extras": ["2 mint leaves"], "steps": ["dry shake", "shake"], "version": 3,
            "date": "2026-03-14", "by": "Una",
            "pours": ["60 ml gold rum", "22.5 ml berry syrup", "1 large egg white", "2 dashes aromatic bitters"],
        },
    )  # fmt: skip
    done, path = cards(tmp_path, specs=specs)
    assert done.code == 0
    said = " ".join(pdf.text(path).split())  # in the order of the file, which is the order of its tags
    mark = said.partition(" spec 3, ")[0].rpartition(" ")[2]
    assert re.fullmatch("[A-Z0-9]{4}", mark)
    parts = [
        "THE TEST QUAY", "Quay Flip", "shaken 12 s", "coupe glass", "none ice", "60 ml gold rum",
        "22.5 ml berry syrup 50 °Bx", "1 large egg white", "2 dash aromatic bitters", "1 dry shake", "2 shake",
        "strain double", "with 2 mint leaves", "garnish nutmeg", "contains eggs garnish not counted",
        "not known aromatic bitters 2 mint leaves",
        "caution raw egg: tell the guest; not for anyone told to avoid it", mark, "spec 3, 14 Mar 2026, Una",
        "printed 25 Nov 2026",
    ]  # fmt: skip
    assert said == " ".join(parts), "in this order, and nothing else"
    places = [said.find(part) for part in parts]
    assert -1 not in places, said
    assert places == sorted(places), said


def test_unknown_is_never_none(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "Dark", "pours": ["60 ml gold rum", "5 ml herbal liqueur"]})
    _, path = cards(tmp_path, specs=specs)
    said = " ".join(pdf.text(path).split())
    assert "allergens not known herbal liqueur" in said
    assert "none listed" not in said


def test_neither_tonight_nor_sugar_is_on_a_card_and_figures_only_when_asked(tmp_path: Path) -> None:
    specs = demo(tmp_path)
    plain = pdf.text(cards(tmp_path, "slipway sour", specs=specs)[1])
    assert not any(word in plain for word in ("sugar", "acid", "RAS", "ABV", "standard drink"))
    figures = " ".join(pdf.text(cards(tmp_path, "slipway sour", "--extras", specs=specs)[1]).split())
    held = run("totals", "slipway sour", "--json", specs=specs).data["served"]
    assert f"{held['abv_percent']:.1f} % ABV, {held['volume_ml']:.0f} ml" in figures
    assert f"{held['standard_drinks']:.1f} standard drink" in figures


@pytest.mark.parametrize(
    ("units", "lines"),
    [
        ("ml", ["45 ml gold rum", "22.5 ml lime juice", "20 ml plain syrup"]),
        ("oz", ["1½ oz gold rum", "¾ oz lime juice", "2⁄3 oz plain syrup"]),
        ("both", ["1½ oz gold rum 45 ml", "¾ oz lime juice 22.5 ml", "2⁄3 oz plain syrup 50 °Bx 20 ml"]),
    ],
)
def test_amounts_in_the_units_asked_for(tmp_path: Path, units: str, lines: list[str]) -> None:
    pours = ["1 1/2 oz gold rum", "22.5 ml lime juice", "2 cl plain syrup"]
    specs = house_with(tmp_path, {"drink": "Mixed", "pours": pours})
    _, path = cards(tmp_path, "--units", units, specs=specs)
    said = " ".join(pdf.text(path).split())
    assert all(line in said for line in lines), said


def test_letters_signs_and_hostile_names_are_printed_as_they_are(tmp_path: Path) -> None:
    names = [
        "Café ½ ¾ 20° Weiß Niña Łódź", "#import x: *", "<script>alert(1)</script>", "=cmd|calc",
        "$x^2$ *bold* _it_ `raw` @ref", "#panic()", "Ночь Νύχτα",
    ]  # fmt: skip
    specs = house_with(tmp_path, *({"drink": name} for name in names))
    done, path = cards(tmp_path, specs=specs)
    assert (done.code, done.err) == (0, "")
    said = pdf.text(path).replace("\n", " ")
    assert [name for name in names if name not in said] == []


def test_the_file_is_tagged_titled_and_has_its_fonts(tmp_path: Path) -> None:
    _, path = cards(tmp_path, "anchor", "foam")
    assert pdf.title(path) == "The Test Quay: spec cards"
    assert pdf.is_tagged(path)
    raw = path.read_bytes()
    assert b"<pdfuaid:part>1</pdfuaid:part>" in raw
    assert b"<dc:language><rdf:Bag><rdf:li>en<" in raw
    found = pdf.fonts(path)
    assert {name.split("+")[1].split("-Identity")[0] for name, _ in found} == {
        "Inter-Regular", "Inter-SemiBold", "Inter-Bold",
    }  # fmt: skip
    assert all(embedded for _, embedded in found)


# Geometry


@pytest.mark.parametrize(
    ("size", "width", "height", "points"),
    [("a6", 105.0, 148.0, 14.0), ("4x6", 101.6, 152.4, 14.0), ("3x5", 76.2, 127.0, 12.0)],
)
def test_cards_have_their_size_and_large_amounts_whatever_the_spec(
    tmp_path: Path, size: str, width: float, height: float, points: float
) -> None:
    pours = [f"{number + 11} ml {name}" for number, name in enumerate(
        ["gold rum", "dry gin", "rye whiskey", "lime juice", "lemon juice", "berry syrup", "honey syrup", "soda water"]
    )]  # fmt: skip
    specs = house_with(
        tmp_path, {"drink": "Eight Pours", "pours": pours, "garnish": "lime", "glass": "rocks"}, {"drink": "Short"}
    )
    done, path = cards(tmp_path, "--size", size, specs=specs)
    assert done.code == 0, done.err
    assert pdf.page_sizes(path) == [pytest.approx((width, height), abs=0.05)] * 2
    found = pdf.words(path)
    assert {word.page for word in found} == {1, 2}
    assert all(3.0 <= word.left < word.right <= width - 3.0 for word in found), "nothing is cut off"
    assert all(3.0 <= word.top < word.bottom <= height - 3.0 for word in found), "nothing is cut off"
    amounts = [word for word in found if word.page == 1 and word.text in {str(number + 11) for number in range(8)}]
    assert len(amounts) == 8
    assert min(word.size_pt for word in amounts) >= points
    rights = {round(word.right, 1) for word in amounts}
    assert len(rights) == 1, "amounts stand below each other"


def test_points_of_the_amounts_stand_below_each_other(tmp_path: Path) -> None:
    specs = house_with(
        tmp_path, {"drink": "One", "pours": ["60 ml gold rum", "22.5 ml lime juice", "7.5 ml honey syrup"]}
    )
    found = {word.text: word for word in pdf.words(cards(tmp_path, specs=specs)[1])}
    wide = found["22.5"].right - found["22.5"].left
    narrow = found["7.5"].right - found["7.5"].left
    assert found["22.5"].right == pytest.approx(found["7.5"].right, abs=0.1)
    digit = wide - narrow
    assert found["60"].right == pytest.approx(found["22.5"].left + 2 * digit, abs=0.3)


@pytest.mark.parametrize(("size", "paper", "pages"), [("a6", "a4", 2), ("4x6", "letter", 4), ("3x5", "letter", 2)])
def test_several_to_a_sheet_each_inside_its_own_card(tmp_path: Path, size: str, paper: str, pages: int) -> None:
    specs = house_with(tmp_path, *({"drink": f"Buoy{number}"} for number in range(7)))
    done, path = cards(tmp_path, "--size", size, "--on", paper, specs=specs)
    assert done.code == 0, done.err
    sheet = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}[paper]
    assert pdf.page_sizes(path) == [pytest.approx(sheet, abs=0.05)] * pages
    names = [word for word in pdf.words(path) if word.text.startswith("Buoy")]
    assert [word.text for word in names] == [f"Buoy{number}" for number in range(7)], "in order"
    width = {"a6": 105.0, "4x6": 101.6, "3x5": 76.2}[size]
    lefts = sorted({round(word.left, 1) for word in names})
    assert lefts[1] - lefts[0] == pytest.approx(width, abs=0.15)


def test_a_card_too_long_is_named_counted_and_noted_once(tmp_path: Path) -> None:
    steps = [f"step {number} of many, each of which takes two lines of a card" for number in range(1, 13)]
    pours = [f"{number + 11} ml {name}" for number, name in enumerate(
        ["gold rum", "dry gin", "rye whiskey", "lime juice", "lemon juice", "berry syrup", "honey syrup", "soda water"]
    )]  # fmt: skip
    specs = house_with(
        tmp_path, {"drink": "Long", "pours": pours, "steps": steps}, *({"drink": f"B{n}"} for n in "abcd")
    )
    done, path = cards(tmp_path, "--on", "a4", "--json", specs=specs)
    assert done.code == 0, done.err
    assert [card["sides"] for card in done.data["cards"]] == [2, 1, 1, 1, 1]
    assert done.data["pages"] == len(pdf.page_sizes(path)) == 2
    headings = [word for word in pdf.words(path) if word.text in {"Long", "Long,", "Ba"}]
    assert [word.text for word in headings][:3] == ["Long", "Long,", "Ba"]
    assert headings[0].top == headings[1].top, "beside each other"
    assert headings[0].left < headings[1].left
    noted = json.loads((specs / FILE).read_text(encoding="utf-8"))["cards"]
    assert sorted(card["name"] for card in noted) == ["Ba", "Bb", "Bc", "Bd", "Long"]
    told = cards(tmp_path, "--on", "a4", specs=specs)[0]
    assert told.first == "5 cards, A6, 4 to a page: 2 pages of A4 → cards.pdf"
    assert "Long is too long for one card: continued on the next" in " ".join(told.out.split())


def test_one_drink_is_printed_as_large_as_the_whole_menu(tmp_path: Path) -> None:
    specs = demo(tmp_path)
    _, path = cards(tmp_path, specs=specs)
    by_page: dict[str, list[tuple[str, float, float, float]]] = {}
    for word in pdf.words(path):
        by_page.setdefault(str(word.page), []).append((word.text, word.left, word.top, word.size_pt))
    _, one = cards(tmp_path, "slow bell", specs=specs, out="one.pdf")
    found = [(word.text, word.left, word.top, word.size_pt) for word in pdf.words(one)]
    assert found in by_page.values()
    drink = next((specs / "drinks").rglob("slow-bell.yaml"))
    drink.write_text(drink.read_text(encoding="utf-8").replace("lime zest", "lime peel"), encoding="utf-8")
    _, changed = cards(tmp_path, "--changed", specs=specs, out="changed.pdf")
    now = [(word.text.replace("peel", "zest"), word.size_pt) for word in pdf.words(changed)]
    before = [(text, size) for text, _, _, size in found]
    (moved,) = [one for one, old in zip(now, before, strict=True) if one != old]
    assert re.fullmatch("[A-Z0-9]{4}", moved[0]), "nothing but the print mark is another one"
    assert moved[1] == 8.0


@pytest.mark.parametrize("units", ["ml", "oz", "both"])
def test_every_figure_in_the_glass_is_that_of_totals(tmp_path: Path, units: str) -> None:
    specs = demo(tmp_path)
    done, path = cards(tmp_path, "--extras", "--units", units, "--json", specs=specs)
    said = [" ".join(page.split()) for page in pdf.pages(path)]
    assert len(said) == len(done.data["cards"]) == 20
    told = 0
    for card, page in zip(done.data["cards"], said, strict=True):
        held = run("totals", card["drink"], "--json", specs=specs).data["served"]
        (abv, volume, drinks) = re.search(
            r"in the glass (≥?[0-9.]+) % ABV, (?:about )?([0-9.]+) ml, (≥?[0-9.]+) standard drink", page
        ).groups()  # type: ignore[union-attr]
        assert abv.lstrip("≥") == f"{held['abv_percent']:.1f}".removesuffix(".0")
        assert volume == f"{held['volume_ml']:.0f}"
        assert drinks.lstrip("≥") == f"{held['standard_drinks']:.1f}".removesuffix(".0")
        assert all(name in page for name in (*card["allergens"], *card["allergens_unknown"]))
        told += 1
    assert told == 20


# Withdrawing


def noted(specs: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((specs / FILE).read_text(encoding="utf-8"))["cards"]
    return found


def test_only_what_changed_is_printed_again_and_the_old_card_pulled(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One", "version": 1}, {"drink": "Two"}, {"drink": "Three"})
    assert cards(tmp_path, specs=specs)[0].code == 0
    before = {card["drink"]: card for card in noted(specs)}
    quiet, path = cards(tmp_path, "--changed", specs=specs, out="again.pdf")
    assert quiet.first == "no card has changed since it was printed: nothing to print"
    assert not path.exists()
    one = specs / "drinks" / "00.yaml"
    one.write_text(one.read_text(encoding="utf-8").replace("22.5 ml berry", "20 ml berry"), encoding="utf-8")
    (specs / "drinks" / "01.yaml").unlink()
    (specs / "drinks" / "03.yaml").write_text((one.read_text(encoding="utf-8")).replace("One", "Four"), "utf-8")
    done, _ = cards(tmp_path, "--changed", "--json", specs=specs)
    assert [card["drink"] for card in done.data["cards"]] == ["one", "four"]
    assert done.data["pull"] == [
        {
            "drink": "one", "name": "One", "version": "1", "printed": "2026-11-25",
            "mark": before["one"]["mark"], "new_mark": done.data["cards"][0]["mark"],
        },
        {
            "drink": "two", "name": "Two", "version": None, "printed": "2026-11-25",
            "mark": before["two"]["mark"], "new_mark": None,
        },
    ]  # fmt: skip
    assert done.data["same_version"] == ["one"]
    after, _ = cards(tmp_path, "--changed", specs=specs)
    assert after.first == "no card has changed since it was printed: nothing to print"


def test_a_new_standard_or_allergen_changes_the_card(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"}, {"drink": "Two", "pours": ["60 ml gold rum"]})
    cards(tmp_path, specs=specs)
    syrups = specs / "syrups" / "all.yaml"
    text = syrups.read_text(encoding="utf-8")
    syrups.write_text(text.replace("berry syrup\n  standard: 50", "berry syrup\n  standard: 52"), encoding="utf-8")
    done, _ = cards(tmp_path, "--changed", "--json", specs=specs)
    assert done.data["changed"] == ["one"]


def test_paper_and_figures_do_not_make_a_card_another_one(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"})
    cards(tmp_path, "--size", "3x5", "--units", "both", "--extras", specs=specs)
    done, _ = cards(tmp_path, "--changed", specs=specs)
    assert done.first.startswith("no card has changed")


def test_a_draft_is_not_noted(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"})
    cards(tmp_path, "--draft", specs=specs)
    assert not (specs / FILE).exists()


def test_the_card_of_a_broken_drink_is_not_pulled(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"}, {"drink": "Two"})
    cards(tmp_path, specs=specs)
    (specs / "drinks" / "01.yaml").write_text("drink: Two\nmethod: shaken\npours: [20 ml nonsuch]\n", "utf-8")
    done, _ = cards(tmp_path, "--changed", "--json", specs=specs)
    assert (done.code, done.data["pull"], done.data["changed"]) == (1, [], [])


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"format": 2, "cards": []}', '{"format": 1, "cards": [{"drink": "one"}]}', "[" * 100_000]
)
def test_a_damaged_list_of_printed_cards_is_told_and_kept(tmp_path: Path, text: str) -> None:
    specs = house_with(tmp_path, {"drink": "One"})
    (specs / FILE).write_text(text, encoding="utf-8")
    done, path = cards(tmp_path, "--changed", specs=specs)
    assert done.code == 1
    assert "move it away" in done.err
    assert (specs / FILE).read_text(encoding="utf-8") == text
    assert not path.exists()


# The print mark


def mark_of(path: Path) -> str:
    """The mark as it is printed."""
    (found,) = re.findall(rf"\b[{SIGNS}]{{4}}\b", pdf.text(path))
    return str(found)


def changed(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_the_mark_on_the_card_is_the_one_in_the_answer_and_in_the_list(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One", "version": 3})
    done, path = cards(tmp_path, "--json", specs=specs)
    assert done.data["cards"][0]["mark"] == mark_of(path) == noted(specs)[0]["mark"]


def test_the_old_card_is_named_by_version_date_and_mark_and_the_new_one_by_its_mark(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "Slipway Sour", "version": 3})
    old = mark_of(cards(tmp_path, specs=specs)[1])
    changed(specs / "drinks" / "00.yaml", "22.5 ml berry", "20 ml berry")
    changed(specs / "drinks" / "00.yaml", '"version": 3', '"version": 4')
    done, path = cards(tmp_path, "--changed", specs=specs)
    new = mark_of(path)
    assert new != old
    assert f"  throw away the old card Slipway Sour version 3 of 25 Nov, mark {old}; new {new}\n" in done.out
    assert "same version" not in done.out


@pytest.mark.parametrize("by_hand", ["drink", "syrup"])
def test_a_card_that_changed_under_its_old_version_is_told(tmp_path: Path, by_hand: str) -> None:
    """By an edit of its file, or because a syrup got another standard."""
    specs = house_with(
        tmp_path, {"drink": "One", "version": 3}, {"drink": "Two", "version": 1, "pours": ["5 cl water"]}
    )
    cards(tmp_path, specs=specs)
    if by_hand == "drink":
        changed(specs / "drinks" / "00.yaml", "22.5 ml berry", "20 ml berry")
    else:
        changed(specs / "syrups" / "all.yaml", "berry syrup\n  standard: 50", "berry syrup\n  standard: 52")
    done, _ = cards(tmp_path, "--changed", "--json", specs=specs)
    assert done.data["same_version"] == done.data["changed"] == ["one"]
    assert done.data["pull"][0]["mark"] != done.data["pull"][0]["new_mark"] == done.data["cards"][0]["mark"]
    changed(specs / "drinks" / "00.yaml", "60 ml gold rum", "55 ml gold rum")
    told, _ = cards(tmp_path, "--changed", specs=specs)
    assert "  same version, other mark: One; raise version: in its file and print again\n" in told.out


@pytest.mark.parametrize("setting", ["show: oz", "house: The Other Bar"])
def test_a_card_that_a_setting_of_the_house_changed_needs_no_new_version(tmp_path: Path, setting: str) -> None:
    """Two is edited by hand besides, and is told as before; of One nothing in its file is another."""
    specs = house_with(tmp_path, {"drink": "One", "version": 3}, {"drink": "Two", "version": 1})
    cards(tmp_path, specs=specs)
    key = setting.partition(":")[0]
    house = specs / "house.yaml"
    kept = [line for line in house.read_text(encoding="utf-8").splitlines() if not line.startswith(f"{key}:")]
    house.write_text("\n".join([*kept, setting, ""]), encoding="utf-8")
    changed(specs / "drinks" / "01.yaml", "22.5 ml berry", "20 ml berry")
    data = cards(tmp_path, "--changed", "--json", "--draft", specs=specs)[0].data
    assert (data["by_house"], data["same_version"]) == (["one"], ["two"])
    told, _ = cards(tmp_path, "--changed", specs=specs)
    assert "  house.yaml changed what One says: no new version needed\n" in told.out
    assert "  same version, other mark: Two; raise version: in its file and print again\n" in told.out


def test_a_card_printed_again_unchanged_keeps_its_mark(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One", "version": 3})
    first, later = mark_of(cards(tmp_path, specs=specs)[1]), mark_of(cards(tmp_path, "--size", "3x5", specs=specs)[1])
    assert first == later
    with contextlib.chdir(tmp_path):
        run("cards", "--out", "next-day.pdf", specs=specs, env={"BALANCER_NOW": "2026-12-02T18:00+00:00"})
    assert mark_of(tmp_path / "next-day.pdf") == first


def test_figures_on_the_card_count_where_it_has_them(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"})
    spirits = next(path for path in (specs / "ingredients").iterdir() if "gold rum" in path.read_text("utf-8"))
    rum = re.search(r"gold rum\n(?:  .*\n)*?  abv: (\S+)", spirits.read_text("utf-8"))
    assert rum
    for words, says in (((), []), (("--extras",), ["one"])):
        cards(tmp_path, *words, specs=specs)
        text = spirits.read_text("utf-8")
        spirits.write_text(text.replace(rum[0], rum[0].replace(rum[1], "47")), "utf-8")
        done, _ = cards(tmp_path, "--changed", *words, "--json", specs=specs)
        assert done.data["changed"] == says
        spirits.write_text(text, "utf-8")


def test_a_card_from_before_there_were_marks_counts_as_unchanged_while_its_files_are(tmp_path: Path) -> None:
    """Its content was made from other parts then; the pours kept with it tell. It has no mark to look for."""
    specs = house_with(tmp_path, {"drink": "One", "version": 3})
    cards(tmp_path, specs=specs)
    (row,) = noted(specs)
    early = {key: row[key] for key in ("drink", "name", "version", "date", "spec")} | {"content": "ab" * 32}
    (specs / FILE).write_text(json.dumps({"format": 1, "cards": [early]}), encoding="utf-8")
    quiet, _ = cards(tmp_path, "--changed", specs=specs)
    assert quiet.first.startswith("no card has changed")
    changed(specs / "drinks" / "00.yaml", "22.5 ml berry", "20 ml berry")
    done, path = cards(tmp_path, "--changed", specs=specs, out="new.pdf")
    assert f"One version 3 of 25 Nov, without a mark; new {mark_of(path)}" in done.out


def test_the_new_card_never_has_the_mark_of_the_old_one(tmp_path: Path) -> None:
    """However unlikely: the old one is made to bear what the new one would."""
    specs = house_with(tmp_path, {"drink": "One"})
    mark = mark_of(cards(tmp_path, specs=specs)[1])
    changed(specs / FILE, noted(specs)[0]["content"], "ab" * 32)
    done, path = cards(tmp_path, "--changed", "--json", specs=specs, out="new.pdf")
    assert done.data["pull"][0]["mark"] == mark
    assert mark_of(path) == done.data["pull"][0]["new_mark"] != mark


# A look of one's own


def test_a_bar_changes_the_look(tmp_path: Path) -> None:
    look = tmp_path / "look"
    told = run("cards", "--copy-template", str(look), specs=None)
    assert told.code == 0
    card = look / "card.typ"
    text = card.read_text(encoding="utf-8")
    assert "words.garnish" in text
    card.write_text(text.replace("caps(7pt, it.house)", "caps(7pt, it.house.replace(" + '"Quay", "Pier"))'), "utf-8")
    done, path = cards(tmp_path, "anchor", "--template", str(card))
    assert done.code == 0, done.err
    assert "THE TEST PIER" in pdf.text(path)


def test_a_copied_look_prints_as_the_built_in_one(tmp_path: Path) -> None:
    assert run("cards", "--copy-template", str(tmp_path / "look"), specs=None).code == 0
    specs = demo(tmp_path)
    built_in, _ = cards(tmp_path, "--units", "both", "--extras", specs=specs, out="built-in.pdf")
    own, _ = cards(tmp_path, "--units", "both", "--extras", "--template", "look/card.typ", specs=specs, out="own.pdf")
    assert built_in.code == own.code == 0
    assert pdf.words(tmp_path / "own.pdf") == pdf.words(tmp_path / "built-in.pdf")


def test_a_look_for_older_data_is_told_what_to_do(tmp_path: Path) -> None:
    """As it was copied before cards had steps: with the drawing beside it of that time."""
    (tmp_path / "press.typ").write_text(OLD_PRESS, encoding="utf-8")
    (tmp_path / "card.typ").write_text(OLD_CARD, encoding="utf-8")
    done, path = cards(tmp_path, "anchor", "--template", str(tmp_path / "card.typ"))
    assert done.code == 1
    assert "--copy-template" in done.err
    assert "Traceback" not in done.err
    assert not path.exists()


def test_a_look_is_never_overwritten(tmp_path: Path) -> None:
    assert run("cards", "--copy-template", str(tmp_path), specs=None).code == 0
    (tmp_path / "card.typ").write_text("mine", encoding="utf-8")
    assert run("cards", "--copy-template", str(tmp_path), specs=None).code == 1
    assert (tmp_path / "card.typ").read_text(encoding="utf-8") == "mine"


def test_a_look_whose_copying_was_broken_off_is_made_whole(tmp_path: Path) -> None:
    """Killed between two of its files: what is there is as it was copied."""
    assert run("cards", "--copy-template", str(tmp_path), specs=None).code == 0
    whole = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    for name in ("grid.typ", "press.typ"):
        (tmp_path / name).unlink()
    assert run("cards", "--copy-template", str(tmp_path), specs=None).code == 0
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == whole


def test_a_look_that_cannot_be_copied_whole_is_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full from its second file on."""
    left = [1]

    def full(_descriptor: int) -> None:
        if not left:
            raise OSError(28, "No space left on device")
        left.pop()

    monkeypatch.setattr(os, "fsync", full)
    done = run("cards", "--copy-template", str(tmp_path), specs=None)
    assert (done.code, "No space left on device" in done.err) == (1, True)
    assert list(tmp_path.iterdir()) == []


def test_alcohol_that_nobody_told_is_not_zero(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One", "pours": ["60 ml stranger", "20 ml lime juice"]})
    (specs / "ingredients" / "new.yaml").write_text("ingredient: stranger\n", encoding="utf-8")
    said = " ".join(pdf.text(cards(tmp_path, "--extras", specs=specs)[1]).split())
    assert "ABV and volume in the glass unknown, alcohol unknown; not known: alcohol of stranger" in said
    assert "0 % ABV" not in said
    assert "0 standard" not in said
    told = run("totals", "one", specs=specs).out
    assert "alcohol unknown   stranger: add its abv" in told
    assert not re.search(r"(?<![0-9])0 (%|standard|g)", told)


def test_a_card_says_when_it_was_printed_and_a_draft_that_it_is_one(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One", "version": 2})
    assert "printed 25 Nov 2026" in pdf.text(cards(tmp_path, specs=specs)[1])
    draft = pdf.text(cards(tmp_path, "--draft", specs=specs)[1])
    assert "draft" in draft.split(), "a word apart from the version and the mark"
    assert re.search(r"(?<!\S)(?:spec|version) 2(?!\S)", draft)


@pytest.mark.parametrize(
    ("pour", "units", "shown"),
    [("0.1 ml", "oz", "0.1 ml"), ("1 drop", "oz", "1 drop"), ("1 ml", "oz", "1 ml"), ("0.25 ml", "oz", "0.25 ml")],
)
def test_a_small_amount_is_never_shown_as_none_or_far_off(tmp_path: Path, pour: str, units: str, shown: str) -> None:
    specs = house_with(tmp_path, {"drink": "One", "pours": [f"{pour} gold rum"]})
    said = " ".join(pdf.text(cards(tmp_path, "--units", units, specs=specs)[1]).split())
    assert f" {shown} gold rum" in said


def test_old_cards_are_named_even_when_no_new_one_can_be_printed(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"}, {"drink": "Two"})
    cards(tmp_path, specs=specs)
    (specs / "drinks" / "01.yaml").unlink()
    one = specs / "drinks" / "00.yaml"
    one.write_text(one.read_text(encoding="utf-8").replace('"One"', '"One", "garnish": "燈"'), encoding="utf-8")
    done, _ = cards(tmp_path, "--changed", specs=specs)
    assert done.code == 1
    assert "throw away the old card One" in done.out
    assert "throw away the old card Two" in done.out


def test_the_last_card_is_pulled_when_the_menu_is_empty(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"})
    cards(tmp_path, specs=specs)
    (specs / "drinks" / "00.yaml").unlink()
    done, _ = cards(tmp_path, "--changed", specs=specs)
    assert "throw away the old card One" in done.out


def test_a_link_to_a_spec_is_not_printed_over(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"})
    (tmp_path / "cards.pdf").symlink_to(specs / "drinks" / "00.yaml")
    before = (specs / "drinks" / "00.yaml").read_bytes()
    done, _ = cards(tmp_path, specs=specs)
    assert done.code == 2
    assert (specs / "drinks" / "00.yaml").read_bytes() == before


def test_the_list_of_cards_has_one_lock_and_a_hard_link_to_it_is_told(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"})
    cards(tmp_path, specs=specs)
    os.link(specs / "printed.json", tmp_path / "also")
    done, _ = cards(tmp_path, specs=specs)
    assert (done.code, "had another name on the disk (a hard link)" in " ".join(done.err.split())) == (1, True)
    done, _ = cards(tmp_path, specs=specs)
    assert (done.code, done.err) == (0, "")
    (tmp_path / "shared").mkdir()
    (specs / "printed.json").rename(tmp_path / "shared" / "printed.json")
    (specs / "printed.json").symlink_to(tmp_path / "shared" / "printed.json")
    cards(tmp_path, specs=specs)
    assert (specs / "printed.json").is_symlink()
    assert (tmp_path / "shared" / ".printed.lock").exists()


# In which way


def test_a_reprint_in_another_way_tells_of_the_card_that_hangs(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "Slipway Sour", "id": "one"}, {"drink": "Two"})
    old = mark_of(cards(tmp_path, "slipway", "--units", "both", specs=specs)[1])
    done, path = cards(tmp_path, "slipway", "--json", specs=specs)
    assert old != mark_of(path) == done.data["pull"][0]["new_mark"]
    assert [(card["drink"], card["mark"]) for card in done.data["pull"]] == [("one", old)]
    last = mark_of(path)
    told, _ = cards(tmp_path, "slipway", "--extras", specs=specs)
    assert f"throw away the old card Slipway Sour of 25 Nov, mark {last}; new " in told.out
    again, _ = cards(tmp_path, "slipway", "--extras", "--json", specs=specs)
    assert again.data["pull"] == []


def test_a_draft_or_a_card_in_the_same_way_throws_nothing_away(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "Slipway Sour"})
    cards(tmp_path, "--units", "both", specs=specs)
    assert cards(tmp_path, "--units", "both", "--json", specs=specs)[0].data["pull"] == []
    assert cards(tmp_path, "--draft", "--json", specs=specs)[0].data["pull"] == []


def test_what_changed_is_printed_as_the_card_that_it_replaces(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"}, {"drink": "Two"}, {"drink": "Three"})
    cards(tmp_path, "one", "two", "--units", "both", "--extras", specs=specs)
    cards(tmp_path, "three", specs=specs)
    for name in ("00", "01", "02"):
        changed(specs / "drinks" / f"{name}.yaml", "22.5 ml berry", "20 ml berry")
    done, path = cards(tmp_path, "--changed", specs=specs)
    assert "as the old cards were, with --units both --extras: One, Two" in done.out
    text = pdf.text(path)
    assert text.count("% ABV") == 2
    assert text.count("60 ml") == 3
    assert text.count("2 oz") == 2
    assert {card["drink"]: (card["units"], card["extras"]) for card in printed(specs)} == {
        "one": ("both", True), "two": ("both", True), "three": (None, False),
    }  # fmt: skip
    assert cards(tmp_path, "--changed", specs=specs)[0].first.startswith("no card has changed")


def test_an_option_goes_before_the_way_of_the_old_card(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "One"})
    cards(tmp_path, "--units", "both", "--extras", specs=specs)
    changed(specs / "drinks" / "00.yaml", "22.5 ml berry", "20 ml berry")
    done, path = cards(tmp_path, "--changed", "--units", "ml", "--json", specs=specs)
    assert [(card["units"], card["extras"]) for card in done.data["cards"]] == [("ml", True)]
    assert "oz" not in pdf.text(path)


def printed(specs: Path) -> list[dict[str, Any]]:
    """What is noted, with what a card may lack."""
    return [{"units": None, "extras": False} | card for card in noted(specs)]


@pytest.mark.parametrize(("size", "is_told"), [("3x5", True), ("a6", False), ("4x6", False)])
def test_a_larger_size_is_only_advised_where_there_is_one(tmp_path: Path, size: str, *, is_told: bool) -> None:
    specs = house_with(tmp_path, {"drink": "Vast", "steps": ["stir " * 400]}, {"drink": "Small"})
    done = cards(tmp_path, "--size", size, specs=specs)[0]
    assert '"Vast" does not fit' in done.err
    assert "shorten its texts" in done.err
    assert ("take a larger size" in done.err) == is_told
