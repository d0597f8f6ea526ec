"""`strips` as it is typed, and what comes out of the printer."""

from __future__ import annotations

import contextlib
import json
import re
import shutil
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

from balancer.output.paper.strips import paper_of
from tests import pdf
from tests.cli.runner import CHECKOUT, Run, copy_of_house, run
from tests.pdf import Word
from tests.strip_lines import lines_of

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T19:00+01:00"}
DEMO = CHECKOUT / "specs"
SHEETS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
STRIP = (95.0, 86.0)


def made(batch: str, syrup: str, brix: float | None = None, **keys: Any) -> list[dict[str, Any]]:
    """A batch that was made and opened."""
    entry = {"batch": batch, "syrup": syrup, "event": "made", "made": "2026-11-24", "discard": "2026-11-30"}
    return [entry | ({"brix": brix} if brix else {}) | keys, {"batch": batch, "event": "open"}]


def house_with(folder: Path, log: Sequence[Mapping[str, Any]], *entries: Mapping[str, Any], **lines: str) -> Path:
    """The test house with a log, further syrups and drinks, and further lines of house.yaml."""
    specs = copy_of_house(folder)
    stamped = [{"at": f"2026-11-25T17:{place:02d}:00+01:00"} | dict(entry) for place, entry in enumerate(log)]
    (specs / "batches.yaml").write_text("".join(f"- {json.dumps(entry)}\n" for entry in stamped), encoding="utf-8")
    for number, entry in enumerate(entries):
        kind = "syrups" if "syrup" in entry else "drinks"
        (specs / kind / f"extra{number}.yaml").write_text(json.dumps(entry, ensure_ascii=False), encoding="utf-8")
    with (specs / "house.yaml").open("a", encoding="utf-8") as house:
        house.writelines(f"{key.replace('_', ' ')}: {value}\n" for key, value in lines.items())
    return specs


def sour(name: str, *pours: Any) -> dict[str, Any]:
    return {"drink": name, "method": "shaken", "pours": ["50 ml dry gin", *pours]}


def strips(folder: Path, *words: str, specs: Path = DEMO, out: str = "strips.pdf") -> tuple[Run, Path]:
    with contextlib.chdir(folder):  # a long path would be broken into lines
        return run("strips", *words, "--out", out, specs=specs, env=NOW), folder / out


def said(done: Run) -> str:
    """The answer on one line."""
    return " ".join(done.out.split())


def printed(path: Path) -> str:
    """The text of the pages on one line."""
    return " ".join(pdf.text(path).split())


def pour_sizes(path: Path) -> list[float]:
    """The size of the letters of everything to pour, to a hundredth of a pt."""
    return [line.size_pt for line in lines_of(path)]


# The screen


def test_the_demo_house(tmp_path: Path) -> None:
    """Three strips; every other open bottle with its reason, and exit code 0 as `tonight` has."""
    done, _ = strips(tmp_path)
    assert (done.code, done.err) == (0, "")
    text = said(done)
    assert text.startswith("3 strips on 1 page of A4 → strips.pdf: RAS-12, GIN-2, LIM-1 ")
    assert "ALM-1 almond syrup: no strip, past its last day (23 Nov); discard it" in text
    assert "STR-1 strawberry syrup: no strip, correct it: add 92 g water per kg" in text
    assert "GIN-2 ginger syrup: GIN-1 is open too; empty one first" in text
    assert "4 as written, no strip: GIN-1, SIM-1, PIN-1, HON-1" in text
    assert "none" not in text
    assert all(len(line) <= 80 for line in done.out.splitlines())


def test_json_has_the_same(tmp_path: Path) -> None:
    done, _ = strips(tmp_path, "--json", "--on", "receipt")
    data = done.data
    assert (data["date"], data["files"], data["pages"]) == ("2026-11-25", ["strips.pdf"], 3)
    assert [strip["batch"] for strip in data["strips"]] == ["RAS-12", "GIN-2", "LIM-1"]
    assert data["strips"][0]["conversions"] == [
        {"unit": "ml", "spec_ml": spec, "poured_ml": poured, "spec_g": None, "poured_g": None}
        for spec, poured in [(20.0, 17.5), (22.5, 20.0), (30.0, 27.5)]
    ]
    assert {item["batch"]: item["why"] for item in data["without"]} == {
        "GIN-1": "as written", "ALM-1": "past", "SIM-1": "as written", "PIN-1": "as written",
        "HON-1": "as written", "STR-1": "correct",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--on", "a3"], "choose one of a4, letter, receipt"),
        (["NON-1"], "no batch is called"),
        (["--date", "soon"], "--date"),
    ],
)
def test_wrong_usage_is_told(tmp_path: Path, words: list[str], says: str) -> None:
    done, path = strips(tmp_path, *words)
    assert done.code == 2
    assert says in done.err
    assert not path.exists()


def test_without_out_or_with_a_strange_one_nothing_is_printed(tmp_path: Path) -> None:
    assert "--out strips.pdf" in run("strips", specs=DEMO).err
    done, path = strips(tmp_path, out="strips.doc")
    assert done.code == 2
    assert not path.exists()


def test_only_what_is_named(tmp_path: Path) -> None:
    done, _ = strips(tmp_path, "lim 1", "GIN-1", "RAS-11")
    text = said(done)
    assert text.startswith("1 strip on 1 page of A4")
    assert "RAS-12" not in text
    assert "1 as written, no strip: GIN-1" in text
    assert "RAS-11 raspberry syrup: no strip, it is empty" in text


def test_another_night(tmp_path: Path) -> None:
    done, _ = strips(tmp_path, "--date", "2026-11-23")
    assert "on 1 page of A4" in done.first
    assert "LIM-1" not in done.out
    assert "ALM-1 almond syrup: no strip" not in done.out  # its last day was the 23rd


def test_without_strips_nothing_is_written_and_an_old_file_is_told(tmp_path: Path) -> None:
    """Yesterday's file must not be taped tonight."""
    specs = house_with(tmp_path, made("BER-1", "berry-syrup", 50.0))
    done, path = strips(tmp_path, specs=specs)
    assert (done.code, done.first) == (0, "no strip for 25 Nov: every bottle as written")
    assert not path.exists()
    path.write_bytes(b"old")
    assert "is of another time" in said(strips(tmp_path, specs=specs)[0])
    assert path.read_bytes() == b"old"


def test_a_broken_line_of_the_log_touches_the_answer(tmp_path: Path) -> None:
    specs = house_with(tmp_path, made("BER-1", "berry-syrup", 54.0))
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write('- {"batch": "BER-9", "syrup": "ber')
    done, path = strips(tmp_path, specs=specs)
    assert done.code == 1
    assert "batches.yaml:3:" in done.err
    assert path.exists()


def test_allergens_the_cards_do_not_say_lead_the_screen_and_the_strip(tmp_path: Path) -> None:
    nut = {"syrup": "nut syrup", "standard": "50 °Bx", "allergens": ["tree nuts"]}
    log = [
        *made("BER-1", "berry-syrup", 50.0),
        *made("NUT-1", "nut-syrup", 50.0)[:1],
        {"batch": "NUT-1", "event": "open", "refers": ["BER-1"]},
    ]
    done, path = strips(tmp_path, specs=house_with(tmp_path, log, nut))
    assert "NUT-1 nut syrup (in place of berry syrup): not on the cards: contains tree nuts" in said(done)
    assert "not on the cards: contains tree nuts" in printed(path)
    assert "in place of berry syrup: pours from balancer swap" in printed(path)


# The paper


@pytest.mark.parametrize("on", ["a4", "letter"])
def test_sheets(tmp_path: Path, on: str) -> None:
    """The paper's own size, fonts inside, tagged, six places, every word within its strip, pours of 36 pt and more."""
    _, path = strips(tmp_path, "RAS-12", "LIM-1", "--on", on, "--by", "Ilse B.")
    assert pdf.page_sizes(path) == [pytest.approx(SHEETS[on], abs=0.1)]
    assert paper_of(on).layout.up == 6
    assert not paper_of(on).layout.inside  # every cut is marked beside the strips
    assert all(embedded for _, embedded in pdf.fonts(path))
    assert pdf.is_tagged(path)
    assert pdf.title(path) == "The Ferry Slip: strips for Wed 25 Nov 2026"
    assert pdf.outline(path) == ["RAS-12 raspberry syrup", "LIM-1 lime juice"]
    left, top = ((paper - count * side) / 2 for paper, count, side in zip(SHEETS[on], (2, 3), STRIP, strict=True))
    middle = left + STRIP[0]
    words = pdf.words(path)
    for word in words:
        assert top <= word.top < word.bottom <= top + STRIP[1]
        assert (left <= word.left and word.right <= middle) or (middle <= word.left and word.right <= middle + STRIP[0])
    assert pour_sizes(path) == [46] * 6  # two strips of three lines
    read_aloud = "".join(pdf.text(path).split())  # the order of the file
    assert read_aloud.startswith(
        "THEFERRYSLIPRAS-12raspberrysyrupcardsayspour2017.5ml22.520ml3027.5ml"
        "untilemptyorcorrectedusebySun29NovsetWed25NovbyIlseB.THEFERRYSLIPLIM-1limejuice"
    )


def test_one_pour_is_largest_and_the_other_bottle_is_named(tmp_path: Path) -> None:
    _, path = strips(tmp_path, "GIN-2")
    assert [tuple(line) for line in lines_of(path)] == [(1, "22.5", "25", "ml", 72.0)]
    assert "only GIN-2, not GIN-1 until empty" in printed(path)


def test_points_stand_below_each_other_and_figures_are_of_one_width(tmp_path: Path) -> None:
    """17.5, 20 and 27.5: the last whole figure ends at one place, and the 7s and the 5s are as wide as each other."""
    _, path = strips(tmp_path, "RAS-12")
    large = [word for word in pdf.words(path) if word.size_pt > 40]
    ends = [word.left + (word.right - word.left) * share for word, share in zip(large, (1, 1, 1), strict=True)]
    assert ends[0] == pytest.approx(ends[2], abs=0.2)
    assert large[1].left == pytest.approx(large[2].left, abs=0.2)
    small = [word for word in pdf.words(path) if word.text in ("20", "22.5", "30") and word.size_pt < 16]
    assert small[0].left == pytest.approx(small[1].left, abs=0.1)


@pytest.mark.parametrize(("on", "width", "margin"), [("receipt", 80, 4), ("receipt58", 58, 5)])
def test_a_receipt_is_as_wide_as_its_roll(tmp_path: Path, on: str, width: float, margin: float) -> None:
    """Of 80 mm 72 are printed, of 58 mm 48; each strip is as long as its text."""
    _, path = strips(tmp_path, "--on", on)
    sizes = pdf.page_sizes(path)
    assert [found for found, _ in sizes] == [pytest.approx(width, abs=0.1)] * 3
    for word in pdf.words(path):
        assert margin - 0.1 <= word.left < word.right <= width - margin + 0.1
        assert 0 < word.top < word.bottom < sizes[word.page - 1][1]
    assert [line[:4] for line in lines_of(path)] == [
        (1, "20", "17.5", "ml"), (1, "22.5", "20", "ml"), (1, "30", "27.5", "ml"), (2, "22.5", "25", "ml"),
        (3, "15", "12.5", "ml"), (3, "20", "17.5", "ml"), (3, "22.5", "20", "ml"),
    ]  # fmt: skip
    assert min(pour_sizes(path)) >= 36
    assert "by Runa" not in pdf.text(path)  # who made the batch did not print the strip


def test_ounces_are_in_proper_fractions(tmp_path: Path) -> None:
    """20 ml is 2/3 oz, which the font has no sign for."""
    specs = house_with(tmp_path, made("BER-1", "berry-syrup", 54.0))
    house = specs / "house.yaml"
    house.write_text(
        house.read_text(encoding="utf-8").replace("show: ml", "show: oz").replace("step: 2.5 ml", "step: 1/8 oz"),
        encoding="utf-8",
    )
    done, path = strips(tmp_path, specs=specs)
    assert done.code == 0
    # 20 ml: exact 18.2, and 5/8 of 30 ml is 18.75. 22.5 ml: exact 20.5, to which no eighth is near enough.
    assert [line[1:4] for line in lines_of(path)] == [("2⁄3", "⅝", "oz")]
    assert "Anchor Sour no jigger pour works: ask" in printed(path)


def test_grams_where_the_house_weighs(tmp_path: Path) -> None:
    """20 ml at 1.23 g/ml: 24.7 g (1.2296 and what fructose and glucose make of it), so 50/54 of it: 22.8."""
    _, path = strips(tmp_path, specs=house_with(tmp_path, made("BER-1", "berry-syrup", 54.0), pour_style="scale"))
    assert ("23", "g") in [line[2:4] for line in lines_of(path)]


def amounts(syrup: str, amounts: Iterable[float]) -> list[dict[str, Any]]:
    return [sour(f"N{place}", f"{amount} ml {syrup}") for place, amount in enumerate(amounts)]


@pytest.mark.parametrize("on", ["a4", "letter", "receipt", "receipt58"])
def test_more_than_three_pours_go_on_further_strips(tmp_path: Path, on: str) -> None:
    """Twelve written pours: all are printed, up to three on a strip, each with who it is; a roll is long enough."""
    log = made("LOT-1", "lot-syrup", 54.0)
    entries = [{"syrup": "lot syrup", "standard": "50 °Bx"}, *amounts("lot syrup", [17.5 + 2.5 * n for n in range(12)])]
    done, path = strips(tmp_path, "--on", on, "--json", specs=house_with(tmp_path, log, *entries))
    (strip,) = done.data["strips"]
    assert strip["conversions_left_off"] == 0
    assert [(float(line.written), float(line.poured)) for line in lines_of(path)] == [
        (line["spec_ml"], line["poured_ml"]) for line in strip["conversions"]
    ]
    text = printed(path)
    assert "more:" not in text
    parts = 1 if on.startswith("receipt") else text.count("LOT-1")
    assert text.count("LOT-1") == parts
    assert text.count("not known: ask") == parts
    if parts > 1:
        assert parts >= len(strip["conversions"]) / 3
        assert [text.count(f"{number} of {parts}") for number in range(1, parts + 1)] == [1] * parts
        assert pdf.outline(path)[1] == f"LOT-1 lot syrup, 2 of {parts}"
    assert min(pour_sizes(path)) >= 36


def test_four_pours_are_two_strips_of_two(tmp_path: Path) -> None:
    log = made("LOT-1", "lot-syrup", 54.0)
    entries = [{"syrup": "lot syrup", "standard": "50 °Bx", "allergens": []}, *amounts("lot syrup", [20, 22.5, 30, 40])]
    done, path = strips(tmp_path, specs=house_with(tmp_path, log, *entries))
    assert said(done).startswith("strips for 1 bottle on 1 page of A4 → strips.pdf: LOT-1")
    before, _, after = printed(path).partition("2 of 2")
    assert "1 of 2 20 17.5 ml 22.5 20 ml" in before  # 50/54 of 20, 22.5, 30 and 40 is 18.5, 20.8, 27.8 and 37
    assert after.startswith(" 30 27.5 ml 40 37.5 ml")
    assert pour_sizes(path) == [58] * 4


def test_weighed_pours_are_in_whole_grams(tmp_path: Path) -> None:
    """Equal sugar by weight: 50/54 of the written grams, to the gram."""
    written = [20, 24, 28, 30, 34, 36, 40, 45]
    pours = [sour(f"N{n}", f"{amount} g lot syrup") for n, amount in enumerate(written)]
    log = made("LOT-1", "lot-syrup", 54.0)
    syrup = {"syrup": "lot syrup", "standard": "50 °Bx", "allergens": []}
    _, path = strips(tmp_path, specs=house_with(tmp_path, log, syrup, *pours))
    assert [line[1:4] for line in lines_of(path)] == [(str(g), str(round(g * 50 / 54)), "g") for g in written]
    assert min(pour_sizes(path)) >= 36


@pytest.mark.parametrize(("count", "strips_taken"), [(2, 1), (22, 3)])
def test_drinks_that_pour_otherwise_are_told_one_by_one(tmp_path: Path, count: int, strips_taken: int) -> None:
    """Two fit beside the pours; twenty-two fill two strips of their own, and the first strip says where."""
    fixed = [sour(f"Fixed {n:02}", {"pour": "22.5 ml", "of": "lot syrup", "fixed": True}) for n in range(count)]
    syrup = {"syrup": "lot syrup", "standard": "50 °Bx", "allergens": []}
    specs = house_with(tmp_path, made("LOT-1", "lot-syrup", 54.0), syrup, *amounts("lot syrup", [22.5]), *fixed)
    done, path = strips(tmp_path, specs=specs)
    text = printed(path)
    assert said(done).startswith("strips for 1 bottle on 1 page of A4")
    assert [text.count(f"Fixed {n:02} its pour is fixed: ask") for n in range(count)] == [1] * count
    assert text.count("LOT-1") == strips_taken
    assert ("other drinks: see 2 of 3" in text) == (strips_taken > 1)
    assert "more:" not in text


def test_what_has_no_room_goes_in_order_and_is_told(tmp_path: Path) -> None:
    """Eighty drinks are more than three strips hold: the last ones are left off, here and in JSON and on the screen."""
    fixed = [sour(f"Fixed {n:02}", {"pour": "22.5 ml", "of": "lot syrup", "fixed": True}) for n in range(80)]
    syrup = {"syrup": "lot syrup", "standard": "50 °Bx", "allergens": []}
    specs = house_with(tmp_path, made("LOT-1", "lot-syrup", 54.0), syrup, *amounts("lot syrup", [22.5]), *fixed)
    done, path = strips(tmp_path, "--json", specs=specs)
    (strip,) = done.data["strips"]
    text = printed(path)
    shown = text.count("its pour is fixed: ask")
    assert 20 < shown < 80
    assert (strip["ask_left_off"], strip["own_pours_left_off"], strip["conversions_left_off"]) == (True, 0, 0)
    assert [drink["name"] in text for drink in strip["ask"]] == [True] * shown + [False] * (80 - shown)
    assert text.count("more: balancer tonight") == text.count("LOT-1")
    assert "not all on its strip" in said(strips(tmp_path, specs=specs)[0])


def hostile(folder: Path) -> Path:
    """Names of 300 characters and of markup, a script without signs, every exception at once, no dates."""
    long = f"{'Donaudampfschiff' * 18}Donaudampfer"
    log = [
        *made("NAS-1", "nas", 54.0, discard=None, made=None, by="#import"),
        *made("LON-1", "lon", 45.0),
        *made("NUT-1", "nut", 50.0)[:1],
        {"batch": "NUT-1", "event": "open", "refers": ["LON-1"]},
        *made("LON-2", "lon", 45.0, refers=["NUT-1"]),
        {"batch": "NAS-1", "event": "correct", "brix": 54.0},
        *made("BER-1", "berry-syrup", 50.0),
    ]
    log = [{key: value for key, value in entry.items() if value is not None} for entry in log]
    return house_with(
        folder,
        log,
        {"syrup": "#import <script> *bold* $x$ " + "very " * 50, "id": "nas", "standard": "50 °Bx"},
        {"syrup": long, "id": "lon", "standard": "50 °Bx", "allergens": []},
        {"syrup": "nut", "standard": "50 °Bx", "allergens": ["tree nuts", "sesame", "celery", "milk", "eggs"]},
        *amounts("nas", [17.5 + 2.5 * n for n in range(12)]),
        sour("燈台守", {"pour": "20 ml", "of": "nas", "fixed": True}),
        sour("Endless Evening " * 18, "22.5 ml lon"),
        sour("Fixed Evening " * 20, {"pour": "22.5 ml", "of": "lon", "fixed": True}),
        sour("Both", "22.5 ml lon", "20 ml nas"),
    )


@pytest.mark.parametrize("on", ["a4", "letter", "receipt", "receipt58"])
def test_hostile_names_stop_no_strip(tmp_path: Path, on: str) -> None:
    """All is printed as it is written, at most cut; nothing leaves its strip, and pours stay large."""
    done, path = strips(tmp_path, "--on", on, specs=hostile(tmp_path))
    assert (done.code, done.err) == (0, "")
    text = printed(path)
    assert "#import <script> *bold* $x$" in text
    assert "NAS-1" in text
    assert "LON-2" in text
    assert "tree nuts" in text
    assert "use-by day not known" in text
    assert "predicted, not read" in text
    assert "more: balancer tonight" in text
    assert "燈台守" in said(done)
    assert min(pour_sizes(path)) >= 36
    for word in pdf.words(path):
        assert_inside(word, on)


def assert_inside(word: Word, on: str) -> None:
    if on.startswith("receipt"):
        width, margin = (80, 4) if on == "receipt" else (58, 5)
        assert margin - 0.1 <= word.left < word.right <= width - margin + 0.1
    else:
        left, top = ((paper - count * side) / 2 for paper, count, side in zip(SHEETS[on], (2, 3), STRIP, strict=True))
        column, row = int((word.left - left) // STRIP[0]), int((word.top - top) // STRIP[1])
        assert left + column * STRIP[0] <= word.left < word.right <= left + (column + 1) * STRIP[0]
        assert top + row * STRIP[1] <= word.top < word.bottom <= top + (row + 1) * STRIP[1]


def test_a_name_the_font_has_no_signs_for_takes_out_only_itself(tmp_path: Path) -> None:
    """Of syrup, house and who printed it; the pours are there, and the screen tells what is not."""
    syrup = {"syrup": "茶シロップ", "id": "tea", "standard": "50 °Bx", "allergens": []}
    specs = house_with(tmp_path, made("TEA-1", "tea", 54.0), syrup, *amounts("tea", [22.5]))
    house = specs / "house.yaml"
    house.write_text(re.sub("house: .*", "house: 渡し場", house.read_text(encoding="utf-8"), count=1), encoding="utf-8")
    done, path = strips(tmp_path, "--by", "灯", specs=specs)
    assert (done.code, done.err) == (0, "")
    assert printed(path).startswith("TEA-1 card says pour 22.5 20 ml")
    assert "the strip of TEA-1 is without its name and who printed it: the font has no signs for it" in said(done)
    assert "more:" not in printed(path)  # no pour and no drink is missing


def test_the_same_night_makes_the_same_file(tmp_path: Path) -> None:
    assert strips(tmp_path, out="a.pdf")[1].read_bytes() == strips(tmp_path, out="b.pdf")[1].read_bytes()


def test_pictures_are_numbered(tmp_path: Path) -> None:
    done, _ = strips(tmp_path, "--on", "receipt", out="s.png")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["s-1.png", "s-2.png", "s-3.png"]
    assert "3 strips for a receipt roll → " in said(done)
    assert strips(tmp_path, out="s.svg")[1].read_bytes().startswith(b"<svg")


def test_a_mistyped_acid_gives_no_pours_and_stops_no_other_strip(tmp_path: Path) -> None:
    for acid in ("5.2 g/l", "520 g/l"):
        specs = tmp_path / acid[:3]
        shutil.copytree(DEMO, specs)
        log = specs / "batches.yaml"
        text = log.read_text(encoding="utf-8")
        assert '"acid": "52 g/l"' in text
        log.write_text(text.replace('"acid": "52 g/l"', f'"acid": "{acid}"'), encoding="utf-8")
        done, _ = strips(tmp_path, specs=specs)
        doubt, answer = done.out.splitlines()[:2]
        assert doubt.startswith("LIM-1")
        assert "RAS-12" in answer
        assert "LIM-1" not in answer
        assert "LIM-1 lime juice: no strip" in said(done)
