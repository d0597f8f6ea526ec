"""`labels` as it is typed, and what comes out of the printer."""

from __future__ import annotations

import contextlib
import re
import shutil
from pathlib import Path

import pytest

from balancer.output.paper.label_sizes import SIZES, size_of
from tests import pdf
from tests.cli.runner import CHECKOUT, Run, copy_of_house, run
from tests.cli.test_strips import hostile, house_with, made, printed, said

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T19:00+01:00"}
DEMO = CHECKOUT / "specs"
IDS = ["LIM-1", "PIN-1", "GIN-1", "RAS-12", "STR-1", "SIM-1", "GIN-2", "HON-1", "DEM-1"]


def labels(folder: Path, *words: str, specs: Path = DEMO, out: str = "labels.pdf") -> tuple[Run, Path]:
    with contextlib.chdir(folder):  # a long path would be broken into lines
        return run("labels", *words, "--out", out, specs=specs, env=NOW), folder / out


def unspaced(page: str) -> str:
    """The text of a page; the house's capitals, which are set apart, are words again."""
    page = " ".join(page.split())
    for house in ("THE FERRY SLIP", "THE TEST QUAY"):
        page = re.sub(" ?".join(house.replace(" ", "")), house, page)
    return page


# The screen


def test_the_demo_house(tmp_path: Path) -> None:
    """Everything in the house but what is past its day, which is told; nobody asked for that one by name."""
    done, _ = labels(tmp_path)
    assert (done.code, done.err) == (0, "")
    assert said(done).startswith(f"9 labels for a 62 mm roll → labels.pdf: {', '.join(IDS)} ")
    assert "ALM-1 almond syrup: no label, past its last day (23 Nov); balancer batch discard ALM-1" in said(done)


def test_a_refused_batch_asked_for_by_name_is_a_failure_and_stops_no_other(tmp_path: Path) -> None:
    done, path = labels(tmp_path, "RAS-12", "ALM-1", "RAS-11")
    assert done.code == 1
    assert said(done).startswith("1 label for a 62 mm roll → labels.pdf: RAS-12 ALM-1 almond syrup: no label, past")
    assert "RAS-11 raspberry syrup: no label, it is empty" in done.out
    assert path.exists()


def test_only_refused_batches_write_nothing(tmp_path: Path) -> None:
    done, path = labels(tmp_path, "ALM-1", "RAS-11")
    assert done.code == 1
    assert "ALM-1 almond syrup: no label, past its last day (23 Nov)" in done.err
    assert "RAS-11 raspberry syrup: no label, it is empty" in done.err
    assert not path.exists()


def test_json_has_the_same(tmp_path: Path) -> None:
    data = labels(tmp_path, "--json", "--size", "70x37", "--skip", "20", "--copies", "2")[0].data
    assert (data["size"], data["copies"], data["pages"]) == ("70x37", 2, 2)  # 20 + 18 places of 24
    assert [label["batch"] for label in data["labels"]] == IDS
    ras = data["labels"][3]
    assert (ras["brix"], ras["discard"], ras["storage_c"], ras["allergens"]) == (54.0, "2026-11-29", 4.0, [])
    assert [(line["spec_ml"], line["poured_ml"]) for line in ras["conversions"]] == [(20, 17.5), (22.5, 20), (30, 27.5)]
    assert [(refusal["batch"], refusal["why"]) for refusal in data["refused"]] == [("ALM-1", "past")]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--size", "a4"], "choose one of 62, 58, 80, 102, 2x1, 70x37, a4-21"),
        (["--copies", "0"], "from 1 to 100"),
        (["--skip", "2"], "only a sheet has places"),
        (["--size", "70x37", "--skip", "24"], "from 0 to 23"),
        (["--size", "70x37", "--skip", "-1"], "from 0 to 23"),
        (["NON-1"], "no batch is called"),
    ],
)
def test_wrong_usage_is_told(tmp_path: Path, words: list[str], says: str) -> None:
    done, path = labels(tmp_path, *words)
    assert done.code == 2
    assert says in done.err
    assert not path.exists()


def test_without_out_or_without_a_batch_nothing_is_printed(tmp_path: Path) -> None:
    assert "--out labels.pdf" in run("labels", specs=DEMO).err
    done, path = labels(tmp_path, specs=house_with(tmp_path, []))
    assert (done.code, done.err) == (0, "")  # as `strips` of an empty house
    assert done.first == "no label: no batch is open or waiting"
    assert not path.exists()


def test_only_past_batches_in_the_house_are_told_and_fail_nobody_who_named_none(tmp_path: Path) -> None:
    log = made("BER-1", "berry-syrup", 50.0, discard="2026-11-24")
    done, path = labels(tmp_path, specs=house_with(tmp_path, log))
    assert (done.code, done.err) == (0, "")
    assert done.first == "no label: none of these may be poured"
    assert "BER-1 berry syrup: no label, past its last day (24 Nov)" in said(done)
    assert not path.exists()


def test_nothing_to_print_is_json_too(tmp_path: Path) -> None:
    data = labels(tmp_path, "--json", specs=house_with(tmp_path, []))[0].data
    assert (data["files"], data["labels"], data["refused"]) == ([], [], [])


def test_every_label_that_is_refused_is_named(tmp_path: Path) -> None:
    """`check` knows nothing of them: a message that sends there leaves all but the first unprinted and untold."""
    done, _ = labels(tmp_path, "--size", "2x1", specs=hostile(tmp_path))
    assert '"NAS-1" does not fit' in done.err
    assert '"LON-2" does not fit' in done.err
    assert "balancer check" not in done.err


def test_a_roll_of_80_mm_is_read_aloud(tmp_path: Path) -> None:
    assert said(labels(tmp_path, "RAS-12", "--size", "80")[0]).startswith("1 label for an 80 mm roll → ")


def test_a_broken_line_of_the_log_touches_the_answer(tmp_path: Path) -> None:
    specs = house_with(tmp_path, made("BER-1", "berry-syrup", 54.0))
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write('- {"batch": "BER-9", "syrup": "ber')
    done, path = labels(tmp_path, specs=specs)
    assert (done.code, path.exists()) == (1, True)
    assert "batches.yaml:3:" in done.err


# The paper


def test_a_roll_says_everything(tmp_path: Path) -> None:
    """One page a label, 62 mm wide and as long as its text; only the house's name is smaller than 8 pt."""
    _, path = labels(tmp_path, "--copies", "2")
    sizes = pdf.page_sizes(path)
    assert [width for width, _ in sizes] == [pytest.approx(62, abs=0.1)] * 18
    assert all(embedded for _, embedded in pdf.fonts(path))
    assert pdf.is_tagged(path)
    assert pdf.title(path) == "The Ferry Slip: labels of 25 Nov 2026"
    pages = pdf.pages(path)
    assert pages[6] == pages[7]
    assert unspaced(pages[6]) == (
        "THE FERRY SLIP RAS-12 raspberry syrup reads 54 °Bx spec 50 °Bx made Mon 23 Nov use by Sun 29 Nov keep at"
        " 4 °C card says pour, this bottle only 20 17.5 ml 22.5 20 ml 30 27.5 ml allergens none listed by the house"
        " cool quickly, hold cold, discard at the first mould or fizz by Runa"
    )
    assert "acid 52 g/l" in pages[0]
    assert "not for infants under 12 months" in pages[14]
    words = pdf.words(path)
    for word in words:
        assert 4 - 0.3 <= word.left < word.right <= 58 + 0.3
        assert 0 < word.top < word.bottom < sizes[word.page - 1][1]
    assert min(word.size_pt for word in words) >= 6.5
    assert min(word.size_pt for word in words if not word.text.isupper() and word.page == 7) >= 8 - 0.01


@pytest.mark.parametrize("skip", [0, 5])
def test_labels_stand_in_the_places_of_the_sheet(tmp_path: Path, skip: int) -> None:
    """24 places of 70 × 37 mm, 3 by 8, from the left edge and half a millimetre from the top; no cut marks."""
    _, path = labels(tmp_path, "RAS-12", "--size", "70x37", "--copies", "24", "--skip", str(skip))
    assert pdf.page_sizes(path) == [pytest.approx((210, 297), abs=0.1)] * (2 if skip else 1)
    codes = [word for word in pdf.words(path) if word.text == "raspberry"]
    assert len(codes) == 24
    margin = codes[0].left - 70 * (skip % 3), codes[0].top - 0.5 - 37 * (skip // 3)
    assert margin[0] == pytest.approx(4.5, abs=0.5)  # the side bearing of a letter
    for number, code in enumerate(codes, skip):
        place = number % 24
        assert code.page == number // 24 + 1
        assert code.left == pytest.approx(70 * (place % 3) + margin[0], abs=0.1)
        assert code.top == pytest.approx(0.5 + 37 * (place // 3) + margin[1], abs=0.1)
    for word in pdf.words(path):
        column, row = int(word.left // 70), int((word.top - 0.5) // 37)
        assert 70 * column + 4 <= word.left < word.right <= 70 * (column + 1) - 4
        assert (
            0.5 + 37 * row + 3 <= word.top < word.bottom <= 0.5 + 37 * (row + 1) - 3
        )  # a box is taller than its letters


def test_a_tiny_label_loses_the_least_important_and_says_so(tmp_path: Path) -> None:
    """On 2 × 1 in nothing but the house's name is below 8 pt; what a label loses is told, in the stated order."""
    done, path = labels(tmp_path, "--size", "2x1")
    assert done.code == 0
    assert "no room on the label of RAS-12 for who made it and its care and the house" in said(done)
    pages = pdf.pages(path)
    assert "20 → 17.5" in pages[3]
    assert "Runa" not in pages[3]
    words = pdf.words(path)
    assert pdf.page_sizes(path) == [pytest.approx((50.8, 25.4), abs=0.1)] * len(IDS)
    for word in words:
        assert 1.3 <= word.left < word.right <= 49.5
        assert 0 < word.top < word.bottom < 25.4  # a box is taller than its letters
    assert min(word.size_pt for word in words if not word.text.isupper()) >= 8 - 0.01


def test_a_tiny_label_without_room_for_what_matters_is_refused_by_name(tmp_path: Path) -> None:
    """The others are printed; the command fails."""
    done, path = labels(tmp_path, "--size", "2x1", "--json", specs=hostile(tmp_path))
    assert done.code == 1
    assert '\\"LON-2\\" does not fit' in done.err
    told = {label["batch"]: label["printed"] for label in done.data["labels"]}
    assert told == {"NAS-1": False, "LON-2": False, "BER-1": True}
    assert path.exists()


def test_unknown_is_said_and_never_none(tmp_path: Path) -> None:
    """No dates, no reading, no allergen list, corrected and not read: each in its own words, or a line to write on."""
    log = [
        {"batch": "SEC-1", "syrup": "secret", "event": "made"},
        *made("NUT-1", "nut", 50.0, by="Ansgar"),
        {"batch": "NUT-1", "event": "correct", "brix": 50.0},
        *made("MIX-1", "nut", 50.0, refers=["SEC-1"])[:1],
        *made("ODD-1", "gone", 60.0),
        *made("BER-1", "berry-syrup", 66.7),
    ]
    nut = {"syrup": "nut", "standard": "50 °Bx", "allergens": ["tree nuts"], "storage": "20 °C"}
    specs = house_with(tmp_path, log, {"syrup": "secret", "standard": "50 °Bx"}, nut)
    with (specs / "batches.yaml").open("a", encoding="utf-8") as file:
        file.write('- {"batch": "SEC-2", "syrup": "secret", "event": "made", "at": "2026-11-25T18:00:00+01:00"}\n')
    done, path = labels(tmp_path, specs=specs)
    found = [unspaced(page).removeprefix("The Test Quay".upper()).strip() for page in pdf.pages(path)]
    pages = {page.split()[0]: page for page in found if page}
    assert pages["SEC-2"] == "SEC-2 secret strength not read made use by keep at 4 °C allergens not known ask by"
    assert pages["NUT-1"].startswith("NUT-1 nut strength 50 °Bx predicted, read it made Tue 24 Nov use by Mon 30 Nov")
    assert "keep at 20 °C contains tree nuts by Ansgar" in pages["NUT-1"]
    assert "contains tree nuts allergens not known secret" in pages["MIX-1"]
    assert "gone reads 60 °Bx" in pages["ODD-1"]
    assert "allergens not known ask" in pages["ODD-1"]
    assert "reads 66.7 °Bx read it again" in pages["BER-1"]
    assert "card says" not in pages["BER-1"]
    assert "SEC-2: last day of use and day it was made unknown; write it on the label" in said(done)
    assert "allergens unknown: ODD-1, MIX-1, SEC-2" in said(done)
    assert "free from" not in " ".join(pages.values())


def test_hostile_names_on_a_roll(tmp_path: Path) -> None:
    """A name of 300 letters is printed whole on a roll, and markup as it is written."""
    done, path = labels(tmp_path, specs=hostile(tmp_path))
    assert (done.code, done.err) == (0, "")
    text = printed(path)
    assert "#import <script> *bold* $x$" in text
    assert text.replace("\u200b", "").replace(" ", "").count("Donaudampfschiff") == 18
    assert all(3 - 0.1 <= word.left < word.right <= 59 + 0.1 for word in pdf.words(path))


def test_the_same_log_makes_the_same_file(tmp_path: Path) -> None:
    assert labels(tmp_path, out="a.pdf")[1].read_bytes() == labels(tmp_path, out="b.pdf")[1].read_bytes()


def test_pictures(tmp_path: Path) -> None:
    done, _ = labels(tmp_path, "RAS-12", "GIN-2", "--size", "2x1", out="l.svg")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["l-1.svg", "l-2.svg"]
    assert "2 labels of 2 × 1 in → " in said(done)


# Batches to correct, opened bottles, other papers


def test_a_batch_to_correct_says_so_on_label_strip_and_screen_with_one_figure(tmp_path: Path) -> None:
    """STR-1 reads 54.6 and should be 50: 1000 × 4.6 ÷ 50 = 92 g of water per kg."""
    done, path = labels(tmp_path, "STR-1")
    assert "STR-1: its label says to correct it first, 92 g water per kg" in said(done)
    assert "strawberry syrup correct it first: 92 g water per kg reads 54.6 °Bx" in unspaced(pdf.text(path))
    data = labels(tmp_path, "STR-1", "--json")[0].data["labels"][0]["correct"]
    assert data == {"add": "water", "g_per_kg": pytest.approx(92.0)}
    with contextlib.chdir(tmp_path):
        strips = run("strips", "STR-1", "--out", "s.pdf", specs=DEMO, env=NOW)
        prep = run("sheet", "prep", "--out", "p.pdf", specs=DEMO, env=NOW)
    assert prep.code == 0
    assert "add 92 g water per kg" in " ".join(strips.out.split())
    assert "92 g water per kg" in pdf.text(tmp_path / "p.pdf").replace("\u00a0", " ")
    assert "92 g water per kg" in " ".join(run("tonight", specs=DEMO, env=NOW).out.split())


def test_nothing_else_says_to_correct(tmp_path: Path) -> None:
    done = labels(tmp_path, "RAS-12", "HON-1", "--json")[0].data
    assert [label["correct"] for label in done["labels"]] == [None, None]
    assert "correct" not in pdf.text(labels(tmp_path, "RAS-12", "HON-1")[1])


def test_an_opened_bottle_has_its_last_day(tmp_path: Path) -> None:
    """The demo's sweet vermouth keeps 28 days: opened Wed 25 Nov, day 28 is Tue 22 Dec."""
    done, path = labels(tmp_path, "--opened", "sweet vermouth")
    assert (done.code, done.err) == (0, "")
    assert said(done).startswith(
        "1 label for a 62 mm roll → labels.pdf: sweet vermouth sweet vermouth: opened Wed 25 Nov, use by Tue 22 Dec"
    )
    assert unspaced(pdf.text(path)) == (
        "THE FERRY SLIP sweet vermouth opened Wed 25 Nov use by Tue 22 Dec keep at 4 °C contains sulphites by"
    )


def test_an_opened_bottle_of_another_day_in_json(tmp_path: Path) -> None:
    data = labels(tmp_path, "--opened", "sweet vermouth", "--date", "2026-11-20", "--json")[0].data
    assert data["labels"] == []
    (opened,) = data["opened"]
    assert (opened["ingredient"], opened["opened"], opened["use_by"]) == ("sweet-vermouth", "2026-11-20", "2026-12-17")
    assert (opened["allergens"], opened["printed"], opened["left_off"]) == (["sulphites"], True, [])


def test_what_nobody_knows_of_an_opened_bottle_is_asked_and_written(tmp_path: Path) -> None:
    specs = house_with(tmp_path, made("BER-1", "berry-syrup", 54.0))
    (specs / "ingredients" / "sherry.yaml").write_text(
        "ingredient: odd sherry\nkind: wine\nabv: 15 %\n", encoding="utf-8"
    )
    done, path = labels(tmp_path, "--opened", "odd sherry", specs=specs)
    assert "how long it keeps is not in its file: write its last day on the label" in said(done)
    assert "allergens unknown: odd sherry" in said(done)
    assert "use by allergens not known ask" in unspaced(pdf.text(path))
    both, path = labels(tmp_path, "BER-1", "--opened", "odd sherry", specs=specs)
    assert said(both).startswith("2 labels for a 62 mm roll → labels.pdf: BER-1, odd sherry")
    assert len(pdf.pages(path)) == 2


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--opened", "raspberry syrup"], 1, "is a syrup, and every making of one is a batch"),
        (["--opened", "nonsuch"], 2, "no syrup or ingredient is called"),
        (["--date", "2026-11-20"], 2, "--date: nothing was opened"),
        (["--opened", "lime juice", "--date", "2026-11-20"], 1, "past its last day"),
        (["--opened", "lime juice", "--date", "2026-11-26"], 1, "yet to come"),
    ],
)
def test_what_cannot_have_been_opened_is_told_and_nothing_printed(
    tmp_path: Path, words: list[str], code: int, says: str
) -> None:
    done, path = labels(tmp_path, *words)
    assert (done.code, path.exists()) == (code, False)
    assert says in " ".join(done.err.split())


@pytest.mark.parametrize("word", SIZES)
def test_every_size_prints_what_must_not_be_lost(tmp_path: Path, word: str) -> None:
    """Names, strengths, dates, cautions and what is to be corrected; no word beyond its label, none over another."""
    done, path = labels(tmp_path, "RAS-12", "STR-1", "HON-1", "--size", word)
    assert done.code == 0
    text = " ".join(pdf.text(path).split())
    for words in ("raspberry syrup", "54 °Bx", "Sun 29 Nov", "Mon 23 Nov", "92 g water per kg", "not for infants"):
        assert words in text
    size = size_of(word)
    width, height = size.layout.item
    found = pdf.words(path)
    for one in found:
        across = [
            (x, y)
            for x, y in size.layout.places
            if x <= one.left < one.right <= x + width
            and (height is None or y <= (one.top + one.bottom) / 2 <= y + height)
        ]
        assert len(across) == 1, one
    for at, one in enumerate(found):
        for other in found[at + 1 :]:
            middle = (other.top + other.bottom) / 2
            is_level = one.page == other.page and one.top + 0.8 < middle < one.bottom - 0.8
            assert not (is_level and one.left < other.right - 0.2 and other.left < one.right - 0.2), (one, other)


@pytest.mark.parametrize("called", ["A4-24", "63,5 x 38,1", "99.1×67.7", "4x2", "80mm"])
def test_a_size_may_be_called_by_what_stands_on_the_packet(tmp_path: Path, called: str) -> None:
    assert labels(tmp_path, "RAS-12", "--size", called)[0].code == 0


def test_every_sheet_may_be_started(tmp_path: Path) -> None:
    for word in (word for word in SIZES if size_of(word).is_sheet):
        up = size_of(word).layout.up
        done, path = labels(tmp_path, "RAS-12", "--size", word, "--skip", str(up - 1), "--copies", "2")
        assert done.code == 0
        assert len(pdf.page_sizes(path)) == 2
        x, y = size_of(word).layout.places[-1]
        (first,) = [one for one in pdf.words(path) if one.page == 1 and one.text == "raspberry"]
        assert x < first.left < x + 8
        assert y < first.top < y + 12


@pytest.mark.parametrize("size", ["62", "58", "80", "a4-8"])
def test_the_graduated_line_begins_below_what_stands_over_it(tmp_path: Path, size: str) -> None:
    """Two pours: 22.5 and 30 ml of 50 °Bx, as much sugar in less of 54."""
    pours = ["22.5 ml", "30 ml"]
    drinks = {
        f"drinks__new{number}": f"drink: New {number}\nmethod: stirred\npours: [60 ml gold rum, {pour} berry syrup]\n"
        for number, pour in enumerate(pours)
    }
    specs, path = copy_of_house(tmp_path, **drinks), tmp_path / "label.pdf"
    run("batch", "add", "berry", "54", "--open", specs=specs, env=NOW)
    run("labels", "--size", size, "--out", str(path), specs=specs, env=NOW)
    (page, left, begins, _), *_ = [line for line in pdf.upright_lines(path) if line[3] - line[2] > 5.0]
    near = [word for word in pdf.words(path) if word.page == page and abs(word.left - left) < 12.0]
    over = [word for word in near if word.top < begins]
    assert "says" in {word.text for word in over}
    assert begins - max(word.bottom for word in over) > 0.3


@pytest.mark.parametrize("word", SIZES)
def test_correct_it_first_is_on_every_size_in_every_language(tmp_path: Path, word: str) -> None:
    """In German, the longer one, the smallest size has no room for how much; that is told."""
    folder = tmp_path / "bar"
    shutil.copytree(DEMO, folder)
    house = folder / "house.yaml"
    house.write_text(house.read_text("utf-8").replace("look:  ", "look:\n  language: de  "), "utf-8")
    done, path = labels(tmp_path, "STR-1", "DEM-1", "--size", word, specs=folder)
    assert done.code == 0
    text = " ".join(pdf.text(path).split())
    for words in ("erst korrigieren", "54,6 °Bx", "vor dem Öffnen korrigieren", "53 °Bx"):
        assert words in text
    is_told = "how much to correct it with" in said(done)
    assert is_told == ("92 g Wasser je kg" not in text)
