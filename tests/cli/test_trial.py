"""A sheet to taste a new spec by: as it is typed, and what comes out of the printer."""

from __future__ import annotations

import contextlib
import json
import shutil
from pathlib import Path

import pytest

from balancer.output.paper.language import words_of
from tests import pdf
from tests.cli.runner import CHECKOUT, Run, run
from tests.cli.test_labels import unspaced
from tests.cli.test_strips import house_with, said

pytestmark = pytest.mark.slow

NOW = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
DEMO = CHECKOUT / "specs"


def typed(folder: Path, *words: str, specs: Path = DEMO) -> Run:
    with contextlib.chdir(folder):
        return run(*words, specs=specs, env=NOW)


def text_of(path: Path) -> str:
    return unspaced(pdf.text(path))


def test_two_drinks_side_by_side(tmp_path: Path) -> None:
    """The figures of the page are those that `totals --against` prints, in its rounding."""
    done = typed(tmp_path, "sheet", "test", "slipway", "--against", "strawberry pilot", "--out", "t.pdf")
    assert done.code == 0
    assert said(done).startswith(
        "test sheet, Slipway Sour against Strawberry Pilot: 1 page of A4 → t.pdf alcohol +3.2 g"
    )
    text = text_of(tmp_path / "t.pdf")
    screen = said(typed(tmp_path, "totals", "slipway", "--against", "strawberry pilot"))
    for ours, theirs, moved in (
        ("105 ml", "127 ml", "−22 ml"),
        ("22.9 %", "15.8 %", "+7.1 % vol"),
        ("159 ml", "182 ml", "−23 ml"),
        ("15.1 %", "11 %", "+4.1 % vol"),
        ("19 g", "16 g", "+3.2 g"),
    ):
        assert f"{ours} {theirs} {moved}" in screen
        assert f"{theirs} {ours} {moved}" in text
    assert "New with this spec: tell the tasters first alcohol +3.2 g a glass" in text
    assert text.index("tell the tasters first") < text.index("40 g")
    for part in ("Tasters blind; Slipway Sour is in glass", "glass A", "glass B", "Notes", "keep Strawberry Pilot",
                 "take Slipway Sour", "test again", "by", "Wed 25 Nov 2026"):  # fmt: skip
        assert part in text
    assert pdf.is_tagged(tmp_path / "t.pdf")


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_notes_and_the_decision_stand_together_whatever_is_above(tmp_path: Path, paper: str, language: str) -> None:
    folder = tmp_path / "bar"
    shutil.copytree(DEMO, folder)
    house = folder / "house.yaml"
    house.write_text(house.read_text("utf-8").replace("look:  ", f"look:\n  language: {language}  "), "utf-8")
    words = words_of(language)
    for new, old in (("deckhand", "pontoon"), ("slipway", "strawberry pilot"), ("eelgrass", "pontoon")):
        typed(tmp_path, "sheet", "test", new, "--against", old, "--on", paper, "--out", "t.pdf", specs=folder)
        found = pdf.words(tmp_path / "t.pdf")
        (notes,) = [word for word in found if word.text == words("test.notes")]
        (on,) = [word for word in found if word.text == words("test.on") and word.page >= notes.page][-1:]
        (by,) = [word for word in found if word.text == words("paper.signed") and word.page >= notes.page][-1:]
        assert notes.page == on.page == by.page
        assert abs(on.bottom - by.bottom) < 1  # on one line
        assert on.top - notes.bottom > 8.5  # mm: room for a line at least
        head = " ".join(word.text for word in found if word.page == 1 and word.top < 32)
        for text in (words("test.against-new", new=""), words("test.against-old", old="")):
            assert text.split()[0] in head


def test_json_has_what_totals_against_has_and_the_page(tmp_path: Path) -> None:
    other = ("slipway", "--against", "strawberry pilot")
    data = typed(tmp_path, "sheet", "test", *other, "--out", "t.pdf", "--json").data
    plain = typed(tmp_path, "totals", *other, "--json").data
    assert data["compared"] == plain
    assert (data["paper"], data["pages"], data["files"]) == ("a4", 1, ["t.pdf"])
    assert (data["no_alcohol_before"], data["cautions_gained"]) == (False, [])


def test_a_swap_that_is_not_written_yet(tmp_path: Path) -> None:
    """The answer is printed all the same; allergens and cautions come first and filled."""
    words = ("swap", "slipway", "--out", "raspberry", "--in", "almond syrup")
    plain = typed(tmp_path, *words)
    done = typed(tmp_path, *words, "--test-sheet", "t.pdf")
    assert done.code == 0
    assert done.out == f"{plain.out}test sheet: 1 page of A4 → t.pdf\n"
    text = text_of(tmp_path / "t.pdf")
    assert "test of spec 4 against spec 3" in text
    first = "tell the tasters first allergens gained tree nuts almond syrup: keep its bottle and jigger apart from the"
    assert first in text
    assert text.index(first) < text.index("gold rum")
    assert "almond syrup 50 °Bx, was raspberry syrup" in text
    data = typed(tmp_path, *words, "--test-sheet", "t.pdf", "--json").data
    assert data["test_sheet"] == {"paper": "a4", "pages": 1, "files": ["t.pdf"]}
    assert f"{data['moved']['acid_percent']:.0f} %".replace("-", "−") in text
    assert data == typed(tmp_path, *words, "--json").data | {"test_sheet": data["test_sheet"]}


def test_what_to_taste_first_is_said_in_the_words_of_the_screen(tmp_path: Path) -> None:
    words = ("swap", "slipway", "--out", "raspberry", "--in", "almond syrup")
    screen = said(typed(tmp_path, *words, "--test-sheet", "t.pdf")).replace("; ", ", then ")
    text = text_of(tmp_path / "t.pdf")
    for part in (
        "texture (almond syrup comes)",
        "sweetness (raspberry syrup goes, sources disagree: −13 to +1 %)",
        "acid −19 % (no sour pour moved)",
        "flavour: raspberry syrup goes, almond syrup comes",
    ):
        assert part in screen
        assert part in text


def test_a_taster_drinks_from_both_glasses_and_is_told_of_both(tmp_path: Path) -> None:
    """Eelgrass has celery and sulphites, and a liqueur without a list; the new one has none of it."""
    typed(tmp_path, "sheet", "test", "slipway", "--against", "eelgrass", "--out", "t.pdf")
    text = text_of(tmp_path / "t.pdf")
    told = "In the two glasses: contains celery sulphites allergens not known elderflower liqueur"
    assert told in text
    assert text.index("Tasters") < text.index(told) < text.index("would order")
    assert text.count("garnish not counted") == 2
    assert "allergens: none listed by the house; that is not “free from” garnish not counted" in text


def test_an_adjusted_drink(tmp_path: Path) -> None:
    done = typed(tmp_path, "adjust", "slipway", "--sugar", "-15%", "--test-sheet", "t.pdf")
    assert said(done).endswith("test sheet: 1 page of A4 → t.pdf")
    text = text_of(tmp_path / "t.pdf")
    assert "raspberry syrup 50 °Bx, was 22.5" in text
    assert "sugar 14 g 13 g −11 %" in text
    assert "tell the tasters" not in text


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["adjust", "slipway", "--abv", "60%"], 1, "no test sheet: what cannot be had is not tasted"),
        (["swap", "slipway", "--out", "raspberry", "--in", "ginger syrup", "--tonight"], 2, "leave --tonight out"),
        (["swap", "slipway", "--out", "raspberry"], 2, "for one swap of one drink"),
        (["swap", "--out", "raspberry", "--in", "ginger syrup", "--all"], 2, "for one swap of one drink"),
    ],
)
def test_what_cannot_be_had_is_not_tasted(tmp_path: Path, words: list[str], code: int, says: str) -> None:
    done = typed(tmp_path, *words, "--test-sheet", "t.pdf")
    assert done.code == code
    assert says in " ".join((done.out + done.err).split())
    assert not (tmp_path / "t.pdf").exists()


def test_as_printed_is_what_it_is_set_against_unless_said(tmp_path: Path) -> None:
    specs = house_with(tmp_path, [])
    refused = typed(tmp_path, "sheet", "test", "anchor", "--out", "t.pdf", specs=specs)
    assert refused.code == 1
    assert "no card of" in refused.err
    assert typed(tmp_path, "cards", "anchor", "--out", "c.pdf", specs=specs).code == 0
    assert typed(tmp_path, "adjust", "anchor", "--sugar", "-10%", "--write", "--yes", specs=specs).code == 0
    done = typed(tmp_path, "sheet", "test", "anchor", "--out", "t.pdf", specs=specs)
    assert done.code == 0
    assert "card of 25 Nov 2026" in text_of(tmp_path / "t.pdf")


def test_unknown_is_said(tmp_path: Path) -> None:
    """A spirit of which nobody knows anything comes, and nothing tells the dilution."""
    old = {"drink": "Old One", "method": "swirled", "pours": ["40 ml dry gin", "10 ml berry syrup"]}
    new = {"drink": "New One", "method": "swirled", "pours": ["40 ml odd spirit", "10 ml berry syrup"]}
    specs = house_with(tmp_path, [], old, new)
    spirit = "ingredient: odd spirit\nkind: spirit\nsugar: 0 g/l\ndensity: 0.95 g/ml\n"
    (specs / "ingredients" / "odd.yaml").write_text(spirit, encoding="utf-8")
    done = typed(tmp_path, "sheet", "test", "new one", "--against", "old one", "--out", "t.pdf", specs=specs)
    text = text_of(tmp_path / "t.pdf")
    assert "allergens not known odd spirit how much more alcohol it has is not known" in text
    assert "what is in the glass cannot be told: its dilution is unknown" in text
    assert "in the glass not known not known not known" in text.replace("\u00a0", " ")
    assert "allergens of odd spirit unknown: ask; test sheet, New One against Old One: 1 page" in said(done)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_long_specs_and_hostile_texts(tmp_path: Path, paper: str) -> None:
    """Twelve pours, a name with a word of 64 letters, and markup that stays text."""
    name = '#import "x" *bold* $x$ <b> ' + "Donaudampfschiff" * 4
    pours = [f"{5 + at} ml odd {at}" for at in range(11)]
    long = {"drink": name, "id": "long", "method": "stirred", "pours": [*pours, "10 ml berry syrup"]}
    short = {"drink": "O", "method": "stirred", "pours": ["40 ml dry gin"]}
    specs = house_with(tmp_path, [], long, short)
    odd = [{"ingredient": f"odd {at}", "kind": "spirit", "abv": "40 %", "sugar": "0 g/l"} for at in range(11)]
    (specs / "ingredients" / "odd.yaml").write_text(json.dumps(odd), encoding="utf-8")
    path = tmp_path / "t.pdf"
    for new, old in (("long", "O"), ("O", "long")):
        done = typed(tmp_path, "sheet", "test", new, "--against", old, "--out", "t.pdf", "--on", paper, specs=specs)
        assert (done.code, done.err) == (0, "")
        text = pdf.text(path).replace("\u200b", "").replace(" ", "")
        assert "#import“x”*bold*$x$<b>" in text
        width, height = pdf.page_sizes(path)[0]
        for word in pdf.words(path):
            assert 9 < word.left < word.right < width - 9, word
            assert 0 < word.top < word.bottom < height


def test_pictures(tmp_path: Path) -> None:
    typed(tmp_path, "sheet", "test", "slipway", "--against", "strawberry pilot", "--out", "t.png")
    assert (tmp_path / "t.png").read_bytes().startswith(b"\x89PNG")


def test_what_the_other_spec_has_besides_is_left_out_by_its_name(tmp_path: Path) -> None:
    pours = {"method": "shaken", "pours": ["60 ml dry gin", "20 ml berry syrup"]}
    old = {"drink": "Nog", "extras": ["1 egg white"], "garnish": "nutmeg"} | pours
    specs = house_with(tmp_path, [], old, {"drink": "Nog Again"} | pours)
    done = typed(tmp_path, "sheet", "test", "nog again", "--against", "nog", "--out", "t.pdf", specs=specs)
    assert done.code == 0
    text = text_of(tmp_path / "t.pdf")
    assert "without 1 egg white" in text
    assert "with 1 egg white" in text
    assert "no with" not in text
    assert "no garnish" in text


@pytest.mark.parametrize(
    ("new", "old"),
    [
        ("The Longwinded Admiral of the Northernmost Harbour Lighthouse and His Seventeen Wandering Daughters", "Gull"),
        ("Wandering Widow of Wharf", "Northernmost Harbourmast"),
    ],
)
def test_long_names_run_into_nothing_and_tables_are_not_torn(tmp_path: Path, new: str, old: str) -> None:
    path = tmp_path / "t.pdf"
    for many in (1, 7, 9):
        pours = [f"{5 + at} ml odd {at}" for at in range(many)]
        drinks = [{"drink": name, "method": "stirred", "pours": pours} for name in (new, old)]
        specs = house_with(tmp_path / str(many), [], *drinks)
        odd = [{"ingredient": f"odd {at}", "kind": "spirit", "abv": "40 %", "sugar": "0 g/l"} for at in range(many)]
        (specs / "ingredients" / "odd.yaml").write_text(json.dumps(odd), encoding="utf-8")
        done = typed(tmp_path, "sheet", "test", new, "--against", old, "--out", "t.pdf", specs=specs)
        assert (done.code, done.err) == (0, "")
        words = pdf.words(path)
        assert pdf.overlaps(words) == []
        torn = {word.page for word in words if word.text in {"moved", "sugar", "alcohol", "first"} and word.size_pt > 8}
        assert len(torn) == 1, "the table is on one page, with its heading"
        text = text_of(path)
        assert "keep Gull take new spec test again" in text or f"keep {old} take {new} test again" in text


@pytest.mark.parametrize(
    "words", [("swap", "slipway", "--out", "ras", "--in", "honey"), ("adjust", "slipway", "--sugar", "-10%")]
)
def test_a_test_sheet_has_its_paper_and_its_dots(tmp_path: Path, words: tuple[str, ...]) -> None:
    """Letter is 8.5 by 11 in: at 100 dots an inch 850 by 1100. In a PNG both stand from byte 16 on."""
    done = typed(tmp_path, *words, "--test-sheet", "t.png", "--on", "letter", "--dpi", "100")
    assert "Letter → t.png" in said(done)
    head = (tmp_path / "t.png").read_bytes()[16:24]
    assert (int.from_bytes(head[:4]), int.from_bytes(head[4:])) == (850, 1100)
    assert "choose one of a4, letter" in typed(tmp_path, *words, "--test-sheet", "t.png", "--on", "a5").err
    assert "--dpi: a .pdf has no dots" in typed(tmp_path, *words, "--test-sheet", "t.pdf", "--dpi", "300").err
    assert "--on and --dpi are for its test sheet" in typed(tmp_path, *words, "--dpi", "300").err
