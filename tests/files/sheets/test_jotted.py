"""The parts of a jotted sheet: amounts, toppings, names, methods, glasses, blocks, columns that may be poured."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.errors import QuantityError
from balancer.files.sheets.cells import Manner, said_pour, said_whole
from balancer.files.sheets.glasses import house_glass
from balancer.files.sheets.jotted import is_amount, plain_name
from balancer.files.sheets.preparing import prepared
from balancer.models.methods import method_of
from balancer.units import Measures, Quantity
from tests.cli.runner import copy_of_house
from tests.cli.test_import import imported, told
from tests.examples import examples

TOP = Quantity(90.0, "ml")
NAMES = ("gin", "lime juice", "pear syrup", "aromatic bitters", "cloudy apple juice")


def manner(unit: str | None = None, top: Quantity | None = TOP) -> Manner:
    return Manner(unit, decimal_comma=False, is_own=lambda *_: False, is_known=NAMES.__contains__,
                  measures=Measures(), top=top)  # fmt: skip


AMOUNTS = st.sampled_from([("22.5 ml", 22.5, "ml"), ("22,5ml", 22.5, "ml"), ("¾ oz", 0.75, "oz"),
                           ("1 1/2 oz", 1.5, "oz"),
                           ("2d", 2.0, "dash"), ("3 dashes", 3.0, "dash"), ("1 bsp", 1.0, "barspoon"),
                           ("6 cl", 6.0, "cl")])  # fmt: skip
QUALIFIED = st.sampled_from(["{}", "{} (fresh)", "{}, fresh", "fresh {}", "{} (freshly squeezed)", "chilled {}"])
WHOLE = st.sampled_from(["{a} {n}", "{a} of {n}", "{n}: {a}", "{n} - {a}"])
TOPPED = st.sampled_from(["top with {a} {n}", "{a} {n} (top)", "{a} {n}, to top", "Top up: {a} {n}"])


@settings(deadline=None, max_examples=examples(200))
@given(AMOUNTS, st.sampled_from(NAMES), QUALIFIED, WHOLE)
def test_a_whole_pour_says_the_same_however_it_is_jotted(
    amount: tuple[str, float, str], name: str, qualified: str, form: str
) -> None:
    text = form.format(a=amount[0], n=qualified.format(name))
    said = said_whole(text, manner())
    assert (said.amount, said.name, said.is_top) == (Quantity(amount[1], amount[2]), name, False)


@settings(deadline=None, max_examples=examples(200))
@given(AMOUNTS, st.sampled_from(NAMES), TOPPED)
def test_a_topping_keeps_its_amount(amount: tuple[str, float, str], name: str, form: str) -> None:
    said = said_whole(form.format(a=amount[0], n=name), manner())
    assert (said.amount, said.name, said.is_top) == (Quantity(amount[1], amount[2]), name, True)


@settings(deadline=None, max_examples=examples(200))
@given(AMOUNTS, st.sampled_from(NAMES), QUALIFIED, st.sampled_from(["{}", "{} (fresh)", "{} chilled"]))
def test_cells_say_the_same(amount: tuple[str, float, str], name: str, qualified: str, form: str) -> None:
    said = said_pour(form.format(amount[0]), "", qualified.format(name), manner())
    assert (said.amount, said.name) == (Quantity(amount[1], amount[2]), name)


@pytest.mark.parametrize("text", ["top", "Top up", "to top", "TOP"])
def test_how_much_tops_is_said_by_somebody_or_told(text: str) -> None:
    assert said_pour(text, "", "gin", manner()).amount == TOP
    with pytest.raises(QuantityError) as caught:
        said_pour(text, "", "gin", manner(top=None))
    assert caught.value.code == "import-top"


@pytest.mark.parametrize(
    "text", ["fill with ice", "top with crushed ice", "carrot top", "2-3 dashes gin", "60 ml gin + 2 ml x"]
)
def test_what_is_no_pour_is_told(text: str) -> None:
    with pytest.raises(QuantityError):
        said_whole(text, manner())


@pytest.mark.parametrize(
    "name", ["gin (navy strength)", "gin, aged", "cold brew", "house vermouth", "fresh", "(fresh)"]
)
def test_what_makes_another_thing_of_a_name_stays(name: str) -> None:
    assert plain_name(name) == name


@settings(deadline=None, max_examples=examples(200))
@given(st.text(max_size=20))
def test_any_text_is_an_amount_or_none(text: str) -> None:
    """Whatever is taken for an amount is one, with a unit for those without, or tells why not."""
    if is_amount(text) and any(map(str.isalnum, text)):
        try:
            said = said_pour(" ".join(text.split()), "", "gin", manner(unit="ml"))
        except QuantityError as error:
            assert error.remedy  # noqa: PT017 - either is right
        else:
            assert said.name == "gin"


@pytest.mark.parametrize(
    ("text", "method", "way"),
    [
        ("Shake & strain", "Shake & strain", "shaken"), ("STIR", "STIR", "stirred"), ("throw", "throw", "thrown"),
        ("Shake hard with ice, fine strain into a coupe", "Shake hard with ice, fine strain", "shaken"),
        ("Stir, strain over a block. Garnish: orange twist", "Stir, strain over", "stirred"),
        ("shake without ice", "shake without ice", None), ("stir, then shake", "stir, then shake", None),
        ("clarify overnight", "clarify overnight", None),
        ("Build in the glass, stir gently", "Build in the glass, stir", "built"),
    ],
)  # fmt: skip
def test_methods_keep_their_words(text: str, method: str, way: str | None) -> None:
    found = prepared(text, has_garnish=False)
    assert (found.method.removesuffix(" over"), method_of(found.method)) == (method.removesuffix(" over"), way)


WORDS = ["shake", "stir", "strain", "into", "a", "chilled", "coupe", "garnish", "with", "lime", "no", "ice", ".", ","]


@settings(deadline=None, max_examples=examples(300))
@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=9))
def test_no_word_of_a_method_is_lost(words: list[str]) -> None:
    """Each word is in the method, the steps or the garnish; only what marks the garnish goes."""
    text = " ".join(words)
    found = prepared(text, has_garnish=False)
    kept = " ".join(filter(None, (found.method, found.steps, found.garnish))).split()
    lost = {word for word in words if word.isalpha()} - {word.strip(".,") for word in kept}
    assert lost <= ({"garnish", "with", "a"} if found.garnish else set())


@pytest.mark.parametrize(
    ("text", "glass"),
    [("chilled coupe", "coupe"), ("Coupes", "coupe"), ("N&N", "nick and nora"), ("nick & nora glass", "nick and nora"),
     ("Collins", None), ("large coupe", None), ("double rocks", None)],
)  # fmt: skip
def test_glasses(text: str, glass: str | None) -> None:
    assert house_glass(text, ["coupe", "nick and nora", "rocks"]) == glass


BLOCK = "Heron\n60 ml gold rum\n{}\nMethod: shake\n"


@pytest.mark.parametrize(
    ("line", "code"),
    [("lime juice", "import-line"), ("Story: by the river", "import-line"), ("lime juice: some", "import-line"),
     ("20 glugs lime juice", "unit-missing"), ("top soda water", "import-top"), ("Glass: #REF!", "import-error-value"),
     ("Tide\n60 ml gold rum", "import-line")],
)  # fmt: skip
def test_a_line_of_a_block_is_read_or_told(tmp_path: Path, line: str, code: str) -> None:
    done = imported(copy_of_house(tmp_path), BLOCK.format(line), "--json")
    assert code in {each for _, _, each in told(done)}
    assert [drink["state"] for drink in done.data["drinks"]] == ["faulty"]


def test_titles_between_blocks_are_listed(tmp_path: Path) -> None:
    text = "SOURS\n\n" + BLOCK.format("20 ml lime juice\nCost: 3.20") + "\n\nLONG\n\n" + "Tide\n\n50 ml dry gin\nStir\n"
    done = imported(copy_of_house(tmp_path), text, "--json")
    assert {one["name"]: one["pours"] for one in done.data["drinks"]} == {
        "Heron": ["60 ml gold rum", "20 ml lime juice"], "Tide": ["50 ml dry gin"],
    }  # fmt: skip
    assert [row["why"] for row in done.data["rows_not_read"]] == ['"SOURS" alone', '"Cost: 3.20"', '"LONG" alone']
    assert done.data["layout"] == "blocks"


HEAD = "Drink,gold rum,lime juice,{},Method\nHeron,60 ml,20 ml,{},shake\nTide,50 ml,22.5 ml,,stir\n"


@pytest.mark.parametrize(
    ("heading", "cell", "ready", "unread"),
    [
        ("dry gin", "15 ml", {"Heron", "Tide"}, []), ("Violet shrub", "15 ml", {"Heron", "Tide"}, []),
        ("Violet shrub", "15", {"Tide"}, ["Violet shrub"]), ("dry gin", "x", {"Tide"}, ["dry gin"]),
        ("Cost", "2.40", {"Heron", "Tide"}, ["Cost"]), ("Gin price", "2", {"Heron", "Tide"}, ["Gin price"]),
    ],
)  # fmt: skip
def test_a_column_that_may_be_poured_is_never_passed_over(
    tmp_path: Path, heading: str, cell: str, ready: set[str], unread: list[str]
) -> None:
    done = imported(copy_of_house(tmp_path), HEAD.format(heading, cell), "--json")
    assert {one["name"] for one in done.data["drinks"] if one["state"] == "ready"} == ready
    assert [column["heading"] for column in done.data["columns_not_read"]] == unread


@pytest.mark.parametrize(
    "layout", ["ingredient columns: [Violet shrub, gold rum, lime juice]\n", "ignore: [Violet shrub]\n"]
)
def test_a_map_says_which_columns_are_poured(tmp_path: Path, layout: str) -> None:
    specs = copy_of_house(tmp_path)
    (tmp_path / "map.yaml").write_text(f"unit: ml\n{layout}")
    done = imported(specs, HEAD.format("Violet shrub", "15"), "--map", str(tmp_path / "map.yaml"), "--json")
    assert told(done) == []
    pours = done.data["drinks"][0]["pours"]
    assert ("15 ml Violet shrub" in pours) == layout.startswith("ingredient")


def test_a_saved_map_never_passes_over_pours(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    saved = tmp_path / "saved.yaml"
    first = imported(specs, HEAD.format("Violet shrub", "15"), "--save-map", str(saved), "--json")
    again = imported(specs, HEAD.format("Violet shrub", "15"), "--map", str(saved), "--json")
    assert "ingredient columns:\n  - gold rum\n  - lime juice\n" in saved.read_text()
    assert told(first) == told(again) == [(2, 4, "import-column")]


@pytest.mark.parametrize(("count", "code"), [(2100, "import-too-many"), (40, None)])
def test_thousands_of_unknown_names_are_another_columns_text(tmp_path: Path, count: int, code: str | None) -> None:
    rows = "".join(f"D{number},zork {number},20 ml,shake\n" for number in range(count))
    done = imported(copy_of_house(tmp_path), f"Drink,Ingredient,Amount,Method\n{rows}", "--json")
    assert [each for _, _, each in told(done)] == ([code] if code else [])
    assert len(done.data["drinks"]) == (0 if code else count)


def test_empty_rows_at_the_end_are_no_rows(tmp_path: Path) -> None:
    text = "Drink,Ingredient,Amount,Method\nA,gold rum,60 ml,shake\n" + ",,,\r\n" * 70_000
    done = imported(copy_of_house(tmp_path), text, "--json")
    assert (done.code, [one["state"] for one in done.data["drinks"]]) == (0, ["ready"])


def test_lines_without_end_are_refused(tmp_path: Path) -> None:
    done = imported(copy_of_house(tmp_path), "\n" * 500_000 + "Drink,Ingredient\n")
    assert done.code == 1
    assert "more than 400000 lines" in done.err
