"""`sheet` as a manager types it, and what comes out of the printer."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path
from typing import Any

import pytest

from tests import pdf
from tests.cli.runner import Run, copy_of_house, run

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T15:00+01:00"}
DEMO = Path(__file__).parent.parent.parent / "specs"
KINDS = ("rail", "prep", "allergens")
SHEETS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
HOSTILE = [
    '#import "@preview/x:1.0.0": *',
    "<script>alert(1)</script>",
    "$x$ *b* _i_ `r` // no",
    "W" * 300,
    "long " * 60,
]
SHOWN = ["#import “@preview/x:1.0.0”: *", *HOSTILE[1:]]
"""The same as paper has them."""


def sheet(folder: Path, kind: str, *words: str, specs: Path = DEMO, out: str = "sheet.pdf") -> tuple[Run, Path]:
    with contextlib.chdir(folder):  # a long path would be broken into lines
        return run("sheet", kind, *words, "--out", out, specs=specs, env=NOW), folder / out


def house_with(folder: Path, *drinks: dict[str, Any], ingredients: list[dict[str, Any]] | None = None) -> Path:
    """The house with only these drinks, and more ingredients."""
    specs = copy_of_house(folder)
    for path in (specs / "drinks").iterdir():
        path.unlink()
    spec = {"method": "shaken", "pours": ["60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup"]}
    text = json.dumps([spec | drink for drink in drinks], ensure_ascii=False)
    (specs / "drinks" / "menu.yaml").write_text(text, encoding="utf-8")
    if ingredients:
        (specs / "ingredients" / "more.yaml").write_text(json.dumps(ingredients), encoding="utf-8")
    return specs


def flat(text: str) -> str:
    return " ".join(text.split())


def on_paper(name: str) -> str:
    """A name of the demo house, in which the only quotation marks are apostrophes."""
    return name.replace("'", "’")


# What is said on the screen


def test_the_first_line_is_the_answer(tmp_path: Path) -> None:
    done, path = sheet(tmp_path, "allergens")
    assert (done.code, done.err) == (0, "")
    assert flat(done.out).startswith(f"allergens: 20 drinks on 1 page of A4 → {path.name}; 11 drinks with unknowns ")
    done, path = sheet(tmp_path, "rail", "--on", "letter")
    assert flat(done.out).startswith(f"rail: 20 drinks on 3 pages of Letter → {path.name} ")
    done, path = sheet(tmp_path, "prep")
    assert flat(done.out).startswith(
        f"prep 25 Nov: 1 to discard, 5 to correct, 5 to make, on 2 pages of A4 → {path.name} "
    )


@pytest.mark.parametrize("kind", KINDS)
def test_at_most_eight_rows(tmp_path: Path, kind: str) -> None:
    done, _ = sheet(tmp_path, kind)
    rows = [line for line in done.out.splitlines() if line.startswith("  ") and not line.startswith("    ")]
    assert 0 < len(rows) <= 8
    assert max(map(len, done.out.splitlines())) <= 80


@pytest.mark.parametrize(
    ("kind", "words", "says"),
    [
        ("rail", ["--on", "a3"], "choose one of a4, letter"),
        ("rail", ["--units", "cl"], "choose one of ml, oz, both"),
        ("rail", ["--by", "colour"], "choose one of name, family"),
        ("rail", ["nonsuch"], "no drink is called"),
        ("prep", ["--date", "someday"], "--date"),
        ("allergens", ["slipway"], "slipway"),
    ],
)
def test_wrong_usage_is_told(tmp_path: Path, kind: str, words: list[str], says: str) -> None:
    done, path = sheet(tmp_path, kind, *words)
    assert done.code == 2
    assert says in done.err
    assert not path.exists()


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_that_is_no_page_is_refused(tmp_path: Path, kind: str) -> None:
    done, _ = sheet(tmp_path, kind, out="sheet.docx")
    assert (done.code, "end it in .pdf, .png or .svg" in done.err) == (2, True)


def test_an_empty_menu_is_told(tmp_path: Path) -> None:
    done, path = sheet(tmp_path, "allergens", specs=house_with(tmp_path))
    assert (done.code, done.out) == (1, "")
    assert "the menu has no drink" in done.err
    assert not path.exists()


@pytest.mark.parametrize("kind", ["rail", "allergens"])
def test_drinks_that_did_not_load_are_named_as_missing(tmp_path: Path, kind: str) -> None:
    broken = {"drink": "Loose Plank", "pours": ["20 ml nonsuch"]}
    specs = house_with(tmp_path, {"drink": "Plain Sour"}, broken, {"drink": "燈台"})
    done, path = sheet(tmp_path, kind, "--json", specs=specs)
    assert done.code == 1
    assert [drink["name"] for drink in done.data["drinks"]] == ["Plain Sour"]
    assert done.data["missing"] == ["Loose Plank", "燈台"]
    assert "nonsuch" in done.err
    assert "U+71C8" in done.err
    assert path.exists()


def test_a_broken_drink_whose_name_has_no_signs_keeps_no_sheet_back(tmp_path: Path) -> None:
    specs = house_with(tmp_path, {"drink": "Plain Sour"}, {"drink": "燈台", "pours": ["20 ml nonsuch"]})
    done, path = sheet(tmp_path, "allergens", specs=specs)
    assert done.code == 1
    assert path.exists()


def test_when_nothing_can_be_printed_nothing_is_written(tmp_path: Path) -> None:
    done, path = sheet(tmp_path, "rail", specs=house_with(tmp_path, {"drink": "燈台"}))
    assert (done.code, done.out) == (1, "")
    assert not path.exists()


def test_a_drink_that_prep_can_do_without_keeps_no_sheet_back(tmp_path: Path) -> None:
    done, _ = sheet(tmp_path, "prep", "--json", specs=house_with(tmp_path, {"drink": "燈台"}))
    assert (done.code, done.err) == (0, "")
    assert [item["syrup"] for item in done.data["make"]] == ["berry-syrup"]


def test_png_and_svg_are_one_file_a_page(tmp_path: Path) -> None:
    for kind in ("png", "svg"):
        done, _ = sheet(tmp_path, "rail", "--json", out=f"r.{kind}")
        assert done.data["files"] == [f"r-1.{kind}", f"r-2.{kind}"]
        assert done.data["pages"] == 2
        assert all((tmp_path / file).stat().st_size > 1000 for file in done.data["files"])


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_moment_makes_the_same_file(tmp_path: Path, kind: str) -> None:
    first, second = (sheet(tmp_path, kind, out=f"{name}.pdf")[1].read_bytes() for name in ("a", "b"))
    assert first == second


def test_json_of_the_rail_is_the_menu(tmp_path: Path) -> None:
    done, _ = sheet(tmp_path, "rail", "slipway", "eelgrass", "--json")
    eelgrass, sour = done.data["drinks"]
    assert (eelgrass["allergens"], eelgrass["unknown"]) == (["celery", "sulphites"], ["elderflower liqueur"])
    assert [pour["volume_ml"] for pour in sour["pours"]] == [60.0, 22.5, 22.5]
    assert [pour["standard_brix"] for pour in sour["pours"]] == [None, None, 50.0]
    assert (sour["glass"], sour["garnish"], sour["time"]) == ("coupe", "lime wheel", "12 s")


def test_json_of_allergens_tells_the_three_apart(tmp_path: Path) -> None:
    done, _ = sheet(tmp_path, "allergens", "--json")
    assert done.data["allergens"] == ["celery", "eggs", "milk", "sulphites", "tree nuts"]
    by_name = {drink["drink"]: drink for drink in done.data["drinks"]}
    assert len(by_name) == 20
    flip, rope, sour = (by_name[name] for name in ("winter-berth", "marline-hitch", "slipway-sour"))
    assert (flip["contains"], flip["not_listed"]) == (["eggs", "milk"], [])
    assert rope["contains"] == ["tree nuts"]  # of the almond syrup
    assert [item["name"] for item in rope["unknown"]] == ["orange liqueur"]
    assert (sour["contains"], sour["unknown"], sour["not_listed"]) == ([], [], done.data["allergens"])


def test_prep_of_another_day(tmp_path: Path) -> None:
    """On 27 November the pineapple and the ginger end, and yesterday's lime juice is out."""
    done, _ = sheet(tmp_path, "prep", "--date", "2026-11-27", "--json")
    assert done.data["date"] == "2026-11-27"

    def batches(todo: str) -> list[str]:
        return [item["batch"] for item in done.data["batches"] if item["todo"] == todo]

    assert set(batches("throw out")) == {"ALM-1", "LIM-1"}
    ending = {item["batch"]: item["no_other"] for item in done.data["batches"] if item["todo"] == "last day"}
    assert ending == {"PIN-1": True, "GIN-1": False}
    assert batches("leave") == ["GIN-1", "SIM-1", "HON-1"]
    assert batches("open") == ["DEM-1"]


def test_prep_by_hand(tmp_path: Path) -> None:
    """RAS-12, 54 to 50 °Bx: 1000 x 4 / 50 = 80 g of water for a kilogram, 116 g for its 1450 g (mass balance)."""
    done, _ = sheet(tmp_path, "prep", "--json")
    (row,) = [item for item in done.data["batches"] if item["batch"] == "RAS-12"]
    assert (row["todo"], row["add"]["name"]) == ("correct", "water")
    assert (row["add"]["g_per_kg"], row["add"]["all_g"]) == pytest.approx((80.0, 116.0))
    made = {item["syrup"]: item for item in done.data["make"]}
    assert set(made) == {"agave-syrup", "almond-syrup", "lime-cordial", "passion-fruit-syrup", "rich-syrup"}
    assert made["almond-syrup"]["allergens"] == ["tree nuts"]
    assert [key for key, item in made.items() if item["acid_powder"]] == ["lime-cordial"]
    assert made["rich-syrup"]["shows"]["diluted_reading_brix"] < 55.0


# What is on the paper


def within_the_margins(path: Path, paper: tuple[float, float], margin: float = 8.0) -> list[pdf.Word]:
    """Every word of a file, none of which comes near the edge of the paper."""
    assert pdf.page_sizes(path) == [pytest.approx(paper, abs=0.1)] * len(pdf.page_sizes(path))
    words = pdf.words(path)
    outside = [
        word
        for word in words
        if not (margin <= word.left and word.right <= paper[0] - margin and word.top >= 4.0)
        or word.bottom > paper[1] - 3.0
    ]
    assert outside == []
    return words


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("paper", ["a4", pytest.param("letter", marks=pytest.mark.slow)])
def test_the_demo_house_on_paper(tmp_path: Path, kind: str, paper: str) -> None:
    done, path = sheet(tmp_path, kind, "--on", paper, "--json")
    words = within_the_margins(path, SHEETS[paper])
    assert done.data["pages"] == len(pdf.page_sizes(path))
    assert pdf.is_tagged(path)
    assert pdf.title(path).startswith("The Ferry Slip: ")
    assert all(embedded and "Inter" in name for name, embedded in pdf.fonts(path))
    assert min(word.size_pt for word in words) >= 8.0
    assert {"Wed", "25", "Nov", "2026"} <= {word.text for word in words}


def test_the_rail_reads_in_order_and_is_whole(tmp_path: Path) -> None:
    done, path = sheet(tmp_path, "rail", "--json")
    text = flat(pdf.text(path))
    places = [text.index(f" {on_paper(drink['name'])} {drink['method']}") for drink in done.data["drinks"]]
    assert places == sorted(places)
    sour = text[text.index("Slipway Sour") :].partition("Slow Bell")[0]
    assert sour == (
        "Slipway Sour shaken, 12 s 60 ml gold rum 22.5 ml lime juice 22.5 ml raspberry syrup 50 °Bx "
        "coupe, strain double, garnish lime wheel "
    )
    assert "contains sulphites not known red bitter aperitif orange bitters" in text
    assert text.count("no mark is not “free from”: ask") == text.count("Specs as written, not tonight’s pours") == 1
    in_foot = (
        "filled: listed by the house · dotted: not known, ask · no mark: not “free from”, ask · garnish not counted"
    )
    assert text.count(in_foot) == done.data["pages"] == 2
    assert text.count("garnish not counted") == 3  # in the head once, in the foot of each page
    amounts = [word for word in pdf.words(path) if word.text == "22.5"]
    assert min(word.size_pt for word in amounts) >= 14.0


@pytest.mark.parametrize("units", ["ml", "oz", "both"])
@pytest.mark.parametrize("order", ["name", "family"])
def test_every_figure_of_the_rail_is_that_of_the_json(tmp_path: Path, units: str, order: str) -> None:
    """The demo's ounce is 30 ml, so its pours are halves and quarters of one (hand arithmetic)."""
    ounces = {90.0: "3", 60.0: "2", 45.0: "1½", 30.0: "1", 22.5: "¾", 15.0: "½", 7.5: "¼"}
    done, path = sheet(tmp_path, "rail", "--units", units, "--by", order, "--json")
    text = flat(pdf.text(path))
    starts = [text.index(f" {on_paper(drink['name'])} {drink['method']}") for drink in done.data["drinks"]]
    assert starts == sorted(starts)
    compared = 0
    for drink, start, end in zip(done.data["drinks"], starts, [*starts[1:], None], strict=True):
        own, at = text[start:end], 0
        for pour in drink["pours"]:
            volume, name = pour["volume_ml"], pour["name"]
            in_ml, in_oz = f"{volume or 0.0:g} ml", f"{ounces.get(volume, '')} oz"
            if volume is None or (units != "ml" and volume not in ounces):
                said = name
            else:
                said = {"ml": f"{in_ml} {name}", "oz": f"{in_oz} {name}", "both": f"{in_ml} {name} {in_oz}"}[units]
                compared += 1
            if pour["standard_brix"] is not None and said != name:
                said += f" {pour['standard_brix']:.3g} °Bx"
            at = own.index(said, at)  # in their order
    assert compared > 50


def test_rows_of_allergens_are_whole(tmp_path: Path) -> None:
    done, path = sheet(tmp_path, "allergens", "--json")
    lines = pdf.lines(path)
    for drink in done.data["drinks"]:
        name = on_paper(drink["name"])
        row = next(line for line in lines if line.strip().startswith(name))
        cells = row.replace(name, "", 1).split()
        marks = [cell for cell in cells if cell in ("yes", "?")]
        assert marks.count("yes") == len(drink["contains"])
        if drink["unknown"]:
            assert len(marks) == len(done.data["allergens"])
        else:
            assert "?" not in marks
            assert cells[-1] == "–"
        assert "none" not in cells
    text = flat(pdf.text(path))
    assert "not listed. This does not say “free from”. Ask" in text
    assert text.index("This does not say") < text.index("Chandler")  # the key comes first


def test_prep_has_its_boxes_warnings_and_rest(tmp_path: Path) -> None:
    _, path = sheet(tmp_path, "prep")
    text = flat(pdf.text(path))
    for part in (
        "80 g water per kg 116 g if all 1450 g are left",
        "use by was Mon 23 Nov: discard",
        "LIM-1 lime juice open, use by Wed 25 Nov runs out today: make more use by today: discard what is left",
        "1 allergens: keep tools, bottle and jigger apart: almond syrup",
        "600 g granulated sugar at standard your refractometer should read 50 caution 1 contains tree nuts",
        "2 acid powder hurts eyes and lungs",
        "25 g citric acid at standard your refractometer should read 53 caution 2",
        "nothing of it is in use: open this one; correct it before opening",
        "Within tolerance, leave: GIN-1 ginger syrup, SIM-1 simple syrup, HON-1 honey syrup",
    ):
        assert part in text
    assert text.index("Discard") < text.index("Correct, stir, read") < text.index("Make")
    assert text.count("acid powder hurts eyes and lungs") == 1


@pytest.mark.parametrize("kind", ["rail", "allergens"])
def test_hostile_words_are_shown_and_stay_on_the_page(tmp_path: Path, kind: str) -> None:
    menu: list[dict[str, Any]] = [{"drink": text, "id": f"d{n}", "garnish": text} for n, text in enumerate(HOSTILE)]
    menu += [{"drink": "Odd", "pours": ["60 ml gold rum", "10 ml <b>"], "extras": HOSTILE, "method": "shaken"}]
    specs = house_with(tmp_path, *menu, ingredients=[{"ingredient": "<b>", "sugar": "0 g/l", "allergens": HOSTILE[:4]}])
    done, path = sheet(tmp_path, kind, "--json", specs=specs)
    assert (done.code, len(done.data["drinks"])) == (0, 6)
    turned = kind == "allergens" and pdf.page_sizes(path)[0][0] > 250
    within_the_margins(path, (297.0, 210.0) if turned else SHEETS["a4"])
    text = "".join(pdf.text(path).replace("\u200b", "").split())
    for word in SHOWN[:3]:
        assert "".join(word.split()) in text
    assert done.data["pages"] == len(pdf.page_sizes(path))


def test_hostile_syrups_stay_on_the_page_of_prep(tmp_path: Path) -> None:
    syrups = [
        {"syrup": text, "id": f"s{n}", "standard": "50 °Bx", "recipe": ["1 kg white sugar", "1 kg water"], "note": text}
        for n, text in enumerate(HOSTILE)
    ]
    specs = house_with(tmp_path, {"drink": "Odd", "pours": [f"10 ml s{n}" for n in range(4)]})
    (specs / "syrups" / "more.yaml").write_text(json.dumps(syrups), encoding="utf-8")
    line = {"batch": "S4-1", "syrup": "s4", "event": "made", "brix": 54, "at": "2026-11-25T10:00:00+01:00"}
    (specs / "batches.yaml").write_text(f"- {json.dumps(line)}\n", encoding="utf-8")
    done, path = sheet(tmp_path, "prep", "--json", specs=specs)
    assert (done.code, done.err) == (0, "")
    assert [item["batch"] for item in done.data["batches"] if item["todo"] == "correct"] == ["S4-1"]
    within_the_margins(path, SHEETS["a4"])
    text = "".join(pdf.text(path).replace("\u200b", "").split())
    for word in SHOWN:
        assert "".join(word.split()) in text


def test_a_row_higher_than_a_page_of_prep_goes_on_overleaf(tmp_path: Path) -> None:
    """It was set in one piece beside its short name, and its end lay below the edge of the paper."""
    note = " ".join(f"word{n}" for n in range(900))
    made = {"syrup": "slow syrup", "standard": "50 °Bx", "recipe": ["1 kg white sugar", "1 kg water"], "note": note}
    specs = house_with(tmp_path, {"drink": "Odd", "pours": ["10 ml slow syrup"]})
    (specs / "syrups" / "more.yaml").write_text(json.dumps(made), encoding="utf-8")
    done, path = sheet(tmp_path, "prep", specs=specs)
    assert done.code == 0
    words = within_the_margins(path, SHEETS["a4"])
    assert {f"word{n}" for n in range(900)} <= {word.text for word in words}


def test_prep_tells_what_it_could_not_look_at(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, syrups__bad="{syrup: bad syrup, standard: 5000 °Bx}\n")
    lines = ['- {"batch": "BAD-1", "syrup": "bad-syrup", "event": "made", "brix": 50}', "- {torn"]
    (specs / "batches.yaml").write_text("\n".join([*lines, ""]), encoding="utf-8")
    done, path = sheet(tmp_path, "prep", "--json", specs=specs)
    assert done.code == 1
    assert (done.data["missing"], done.data["not_known"]) == (["bad syrup"], ["BAD-1"])
    assert len(json.loads(done.err)["problems"]) == 2
    assert path.exists()


@pytest.mark.slow
def test_a_long_menu_with_fourteen_allergens(tmp_path: Path) -> None:
    names = [f"allergen {letter}" for letter in "abcdefghijklmn"]
    things = [{"ingredient": f"thing {name}", "sugar": "0 g/l", "allergens": [name]} for name in names]
    menu = [
        {"drink": f"Number {n:03d}", "pours": ["60 ml gold rum", f"5 ml thing {names[n % 14]}"]} for n in range(120)
    ]
    specs = house_with(tmp_path, *menu, ingredients=things)
    done, path = sheet(tmp_path, "allergens", "--json", specs=specs)
    words = within_the_margins(path, (297.0, 210.0))
    pages = len(pdf.page_sizes(path))
    assert done.data["pages"] == pages > 1
    heads = [word for word in words if word.text == "drink" and word.left < 20.0]
    assert len({word.page for word in heads}) == pages  # the head of the table stands on every page
    for n in range(120):
        (number,) = [word for word in words if word.text == f"{n:03d}"]
        on_row = [
            word for word in words
            if word.page == number.page and word.text == "yes" and abs(word.top - number.top) < 2.0
        ]  # fmt: skip
        assert len(on_row) == (2 if n % 14 == 99 else 1)
    assert min(word.size_pt for word in words if word.text == "yes") >= 10.0

    done, path = sheet(tmp_path, "rail", "--json", specs=specs)
    words = within_the_margins(path, SHEETS["a4"])
    assert sorted(word.text for word in words if word.text.isdigit() and len(word.text) == 3) == [
        f"{n:03d}" for n in range(120)
    ]
    assert done.data["pages"] == len(pdf.page_sizes(path))


def test_by_family_and_both_units(tmp_path: Path) -> None:
    _, path = sheet(tmp_path, "rail", "--by", "family", "--units", "both")
    text = flat(pdf.text(path))
    assert text.index("flip Winter Berth") < text.index("punch Pontoon Punch")
    assert "22.5 ml raspberry syrup ¾ oz 50 °Bx" in text


def test_the_rail_says_raw_egg(tmp_path: Path) -> None:
    _, path = sheet(tmp_path, "rail", "cormorant")
    assert "caution raw egg: tell the guest" in flat(pdf.text(path))
