"""Strips whatever they have to say: all of it in its place, in order, and what has no room is told."""

from __future__ import annotations

from datetime import UTC, date, datetime
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.output.paper.fitting import Fitted, typeset_fitting
from balancer.output.paper.language import languages, words_of
from balancer.output.paper.printed_page import layout_data
from balancer.output.paper.strips import LOST, POURS, paper_of
from balancer.output.paper.typeset import TEMPLATES
from tests import pdf
from tests.examples import examples
from tests.pdf import Word
from tests.strip_lines import lines_of

pytestmark = pytest.mark.slow

AT: Final = datetime(2026, 11, 25, 18, 30, tzinfo=UTC)
LEAST_PT: Final = 36.0
"""Of what to pour, on a sheet: as it has to be read while pouring."""
SMALLEST_PT: Final = 6.0
PAPERS: Final = ("a4", "letter", "receipt", "receipt58")


def item(**texts: Any) -> dict[str, Any]:
    """A strip with as little to say as can be, but for what is given."""
    plain: dict[str, Any] = {
        "name": "RAS-12", "code": "RAS-12", "house": ["The Ferry Slip"], "syrup": ["raspberry syrup"],
        "pairs": [pair("22.5", "20")], "allergens": [], "unknown": False, "own": [], "ask": [], "notes": [],
        "until": "empty or corrected", "last": ["use by", "Sun 29 Nov"], "set": "set Wed 25 Nov", "by": [],
    }  # fmt: skip
    made = plain | texts
    return {"all": sum(len(made[key]) for key in ("pairs", "own", "ask", "notes")), **made}


def pair(written: str, poured: str, unit: str = "ml") -> dict[str, str]:
    return {"written": written, "poured": poured, "unit": unit}


def fitted(on: str, *items: dict[str, Any], language: str = "en") -> Fitted:
    paper, words = paper_of(on), words_of(language)
    data = {
        "title": "strips", "layout": layout_data(paper.layout, paper.margin_mm), "most": POURS,
        "words": words.section("paper") | words.section("strip"), "items": [*items],
    }  # fmt: skip
    return typeset_fitting(TEMPLATES / "strip.typ", data, "pdf", AT, LOST)


def printed(folder: Path, on: str, *items: dict[str, Any], language: str = "en") -> Path:
    path = folder / "strips.pdf"
    (page,) = fitted(on, *items, language=language).pages
    path.write_bytes(page)
    return path


def box(word: Word) -> tuple[float, float, float, float]:
    """From the top of its capitals to its baseline, which are 0.24 of its size above and below what PDFium gives."""
    inside = 0.24 * word.size_pt / pdf.POINTS_PER_MM
    return word.left, word.top + inside, word.right, word.bottom - inside


def overlap(one: Word, other: Word) -> bool:
    (left, top, right, bottom), (left2, top2, right2, bottom2) = box(one), box(other)
    slack = 0.05
    return min(right, right2) - max(left, left2) > slack and min(bottom, bottom2) - max(top, top2) > slack


def assert_in_place(path: Path, on: str) -> None:
    """Every word within the margin of one place of its page, none over another, none too small to read."""
    paper = paper_of(on)
    width, height = paper.layout.item
    words = pdf.words(path)
    for word in words:
        high = pdf.page_sizes(path)[word.page - 1][1] if height is None else height
        left, top, right, bottom = box(word)
        places = [
            (x, y)
            for x, y in paper.layout.places
            if x + paper.margin_mm - 0.1 <= left and right <= x + width - paper.margin_mm + 0.1
            and y + paper.margin_mm - 0.1 <= top and bottom <= y + high - paper.margin_mm + 0.1
        ]  # fmt: skip
        assert len(places) == 1, word
        assert word.size_pt >= SMALLEST_PT, word
    for one, other in combinations(words, 2):
        assert one.page != other.page or not overlap(one, other), (one, other)


letters = st.text("abcdefghijklmnopqrstuvwxyzäöüßéñŁøАбвΩ -'.#*$_<>/\\", min_size=1, max_size=60).filter(str.strip)
names = st.one_of(letters, st.text("Wm", min_size=1, max_size=48), st.just("passion fruit and vanilla syrup"))
amounts = {
    "ml": st.integers(1, 480).map(lambda quarters: f"{quarters / 4:g}"),
    "g": st.integers(1, 1200).map(lambda tenths: f"{tenths / 10:g}"),
    "oz": st.tuples(st.sampled_from(["", "1", "2", "10"]), st.sampled_from(["¼", "⅝", "2⁄3", "5⁄6"])).map(
        lambda parts: f"{parts[0]}\u202f{parts[1]}" if "⁄" in parts[1] and parts[0] else "".join(parts)
    ),
}
others = st.lists(
    st.builds(
        lambda drink, said: {"drink": drink, "said": said},
        names,
        st.sampled_from(["as written", "22.5 → 17.5 ml", "1¾ → 1½ oz", "no jigger pour works: ask"]),
    ),
    max_size=30,
)
tags = st.lists(st.sampled_from(["tree nuts", "sesame", "celery", "sulphites", "crustaceans", "eggs"]), unique=True)


@st.composite
def items(draw: st.DrawFn) -> dict[str, Any]:
    unit = draw(st.sampled_from(["ml", "ml", "g", "oz"]))
    return item(
        code=draw(st.one_of(st.just("RAS-12"), st.just("A-1"), letters)),
        house=[draw(names)],
        syrup=[draw(names)],
        pairs=draw(st.lists(st.builds(pair, amounts[unit], amounts[unit], st.just(unit)), max_size=9)),
        allergens=draw(tags),
        unknown=draw(st.booleans()),
        own=draw(others),
        ask=draw(others),
        notes=draw(st.lists(letters, max_size=4)),
        by=draw(st.lists(letters.map(lambda text: text[:20]), max_size=1)),
    )


@pytest.mark.slow
@given(strip=items(), on=st.sampled_from(PAPERS))
@settings(max_examples=examples(60))
def test_nothing_leaves_its_strip_overlaps_or_is_lost_unsaid(strip: dict[str, Any], on: str) -> None:
    result = fitted(on, strip)
    assert not result.unfit
    with TemporaryDirectory() as folder:
        path = Path(folder) / "strips.pdf"
        path.write_bytes(result.pages[0])
        assert_in_place(path, on)
        lines = lines_of(path)
        text = pdf.text(path)
    assert [line[1:4] for line in lines] == [
        tuple(part.replace("\u202f", " ") for part in one.values()) for one in strip["pairs"]
    ]
    lost = result.dropped.get("RAS-12", {})
    assert set(lost) <= {"own", "ask", "notes"}
    assert not lost.get("own") or len(lost.get("ask", ())) == len(strip["ask"])  # in the stated order
    assert ("more: balancer tonight" in " ".join(text.split())) == bool(lost)
    if on in ("a4", "letter"):
        assert all(line.size_pt >= LEAST_PT or sum(map(str.isdigit, line.poured)) > 3 for line in lines)
    for name in strip["allergens"]:
        assert name in text


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("on", PAPERS)
@pytest.mark.parametrize("until", ["empty-or-corrected", "either", "corrected-or"])
def test_what_is_said_fits_in_every_language(tmp_path: Path, until: str, language: str, on: str) -> None:
    words = words_of(language)
    gaps = {} if until == "empty-or-corrected" else {"others": "PASSION-12"}
    strip = item(
        until=words(f"strip.{until}", **gaps),
        last=[words("strip.last-day"), words.day(date(2026, 11, 25))],
        allergens=[words.allergen("tree nuts")],
        unknown=True,
        own=[{"drink": "Slipway Sour", "said": words("strip.as-written")}],
        ask=[{"drink": "Coal Barge", "said": words(f"strip.{key}")} for key in ("no-pour", "fixed", "ask-first")],
        notes=[words("strip.predicted"), words("strip.only", batch="RAS-12", others="RAS-13")],
    )
    path = printed(tmp_path, on, strip, language=language)
    assert_in_place(path, on)
    text = " ".join(pdf.text(path).split())
    said = [words(f"strip.{key}") for key in ("card-says", "pour", "not-on-cards", "unknown", "no-pour", "fixed")]
    assert [one for one in [*said, *strip["notes"], strip["until"]] if one not in text] == []


def test_every_language_has_every_text_with_the_same_gaps() -> None:
    """What a text is filled in with stands in it in every language, as often."""
    english, *rest = (words_of(language).section("strip") for language in ("en", *languages()))
    gaps = {key: sorted(part.partition("}")[0] for part in text.split("{")[1:]) for key, text in english.items()}
    for other in rest:
        assert {
            key: sorted(part.partition("}")[0] for part in text.split("{")[1:]) for key, text in other.items()
        } == gaps


def test_a_fraction_without_a_whole_stands_right_of_the_point(tmp_path: Path) -> None:
    """2⁄3 is spelt with figures, and is still no 2: it begins where ¾ does, and where the fraction of 1½ does."""
    path = printed(tmp_path, "a4", item(pairs=[pair("2⁄3", "⅝", "oz"), pair("¾", "⅝", "oz"), pair("1", "⅞", "oz")]))
    words = {word.text: word for word in pdf.words(path)}
    assert words["2⁄3"].left == pytest.approx(words["¾"].left, abs=0.3)
    assert words["1"].right == pytest.approx(words["¾"].left, abs=0.3)


def test_a_full_strip_loses_what_goes_first(tmp_path: Path) -> None:
    """Notes go before pours and allergens do; the last note first. Nothing that matters more is touched."""
    notes = [f"note {number} " + "which goes on " * 5 for number in range(9)]
    result = fitted("a4", item(notes=notes, allergens=["milk"]))
    assert set(result.dropped["RAS-12"]) == {"notes"}
    left = len(notes) - len(result.dropped["RAS-12"]["notes"])
    assert result.dropped["RAS-12"]["notes"] == notes[left:]
    path = printed(tmp_path, "a4", item(notes=notes[:left], allergens=["milk"], all=99))
    assert "more: balancer tonight" in pdf.text(path)


def test_without_pours_no_strip_only_tells_where_to_look(tmp_path: Path) -> None:
    ask = [{"drink": f"Coal Barge {number}", "said": "no jigger pour works: ask"} for number in range(20)]
    path = printed(tmp_path, "a4", item(pairs=[], ask=ask, allergens=["milk"]))
    text = " ".join(pdf.text(path).split())
    assert pdf.outline(path) == [
        "RAS-12 raspberry syrup, 1 of 2",
        "RAS-12 raspberry syrup, 2 of 2",
    ]
    assert "see" not in text
    assert [text.count(f"Coal Barge {number} no jigger") for number in range(20)] == [1] * 20
    assert text.count("contains milk") == 2


def test_a_house_without_the_room_for_its_name_goes_without(tmp_path: Path) -> None:
    def starts(house: str) -> str:
        return "".join(pdf.text(printed(tmp_path, "a4", item(house=[house]))).split())[:9]

    assert starts("The Ox") == "THEOXRAS-"
    assert starts("The House of the Long Name " * 3) == "RAS-12ras"


def test_no_separator_dangles(tmp_path: Path) -> None:
    """No separator or dot hangs at the end of a line, whatever a strip leaves out."""
    bare = item(house=[], syrup=[], pairs=[], last=[None, "use-by day not known"], until="empty")
    for strip in (item(), item(house=[], syrup=[]), bare, item(notes=["only RAS-12, not RAS-13"])):
        for line in pdf.lines(printed(tmp_path, "a4", strip)):
            assert line[-1] not in "·,:;–", line
            assert line[0] not in "·,:;–", line


@pytest.mark.parametrize("on", PAPERS)
@pytest.mark.parametrize("syrup", ["raspberry syrup", "himbeerjohannisbeersirup", "passion fruit and vanilla syrup"])
@pytest.mark.parametrize(
    "code", ["Rasp-2026-11-23", "Raspberry-2026-11-23-Runa", "Raspberry-2026-11-23-Runa-die-zweite"]
)
def test_a_long_id_is_off_the_house_and_breaks_after_its_hyphens(
    tmp_path: Path, code: str, syrup: str, on: str
) -> None:
    """It lay over the house's name, broke anywhere, and pressed the syrup's name into letters of 4 pt."""
    path = printed(tmp_path, on, item(code=code, syrup=[syrup], pairs=[pair("9.5", "8")]))
    assert_in_place(path, on)
    lines = [word.text for word in pdf.words(path) if word.text in code]
    assert "".join(lines) == code
    assert all(line.endswith("-") for line in lines[:-1])
    assert syrup in pdf.text(path)


@pytest.mark.parametrize("poured", ["20", "117.5", "1022.5"])
def test_which_strip_of_how_many_is_one_line(tmp_path: Path, poured: str) -> None:
    many = item(pairs=[pair(f"{n}22.5", poured) for n in range(1, 8)])
    path = printed(tmp_path, "a4", many)
    assert_in_place(path, "a4")
    assert any(line.endswith("1 of 3") or "1 of 3 " in line for line in pdf.lines(path))
