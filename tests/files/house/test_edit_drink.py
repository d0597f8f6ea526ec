"""Pours changed, replaced, added and removed in place, and a drink copied: any layout, and nothing else moves.

What is expected comes from the pieces a file was put together of, or holds of any file; never from our own output.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.errors import CannotError, ProblemsError
from balancer.files.house.edit import edit_drink, new_drink
from balancer.files.house.load import Loaded, load
from balancer.files.house.write_edit import write_edit
from balancer.models.changes import PourChange
from balancer.models.drink import Drink
from balancer.models.names import slug
from balancer.units import Quantity, parse_quantity
from tests.examples import examples
from tests.files.folders import write

TODAY = date(2026, 11, 25)
FILE = "drinks/slipway-sour.yaml"
STORE = "".join(f"- {{ingredient: {name}, kind: spirit, abv: 40 %, sugar: 0 g/l}}\n" for name in ("aqua", "brum"))
LIQUIDS = ("gold rum", "lime juice", "raspberry syrup", "simple syrup", "soda water", "aqua", "brum")


class Layout(NamedTuple):
    """A generated file of drinks: its text, how many pours the drink called Slip has, and what they are of."""

    text: str
    pours: tuple[str, ...]
    is_alone: bool


AMOUNTS = st.sampled_from(["22.5 ml", "22.5ml", "3/4 oz", "1½ oz", "2 dashes", ".75 oz", "20\u00a0g"])
REMARKS = st.sampled_from(["", "  # remark {n}, 60 ml of it", "   # remark {n}: [ {{ ' \""])


VERSIONS: list[list[list[str]]] = [
    [],
    [["version: 3"]],
    [["version: 3   # ours"], ["date: '2026-03-14'"]],
    [['date: "1 May 2026"']],
]
OTHERS: list[list[list[str]]] = [
    [],
    [["weighed: {before: 118 g, after: 172 g}"]],
    [["weighed:", "  before: 118 g", "  after: 172 g"], ["garnish: lime"]],
    [["notes: |", "  lime", "", "  # no remark"]],
    [["notes: >-", "  two", "  lines"], ["weighed: {before: 118 g, after: 172 g}"]],
    [["steps:", "  - shake", "  - strain"]],
]


@st.composite
def strengths(draw: st.DrawFn, poured: Sequence[str]) -> list[list[str]]:
    """What a drink may say of the strengths that it is written for, as no key or one."""
    told = [f"{of}: 50 °Bx" for of in draw(st.permutations(poured)) if of.endswith("syrup")]
    brackets, lines = [f"written for: {{{', '.join(told)}}}"], ["written for:", *(f"  {each}" for each in told)]
    return draw(st.sampled_from([[], [brackets], [lines]])) if told else []


@st.composite
def entries(draw: st.DrawFn, name: str, number: int) -> tuple[list[str], tuple[str, ...]]:
    """The lines of a drink in block style, each with a remark of its own number or none, and what it pours."""
    poured = tuple(draw(st.lists(st.sampled_from(LIQUIDS), min_size=1, max_size=4, unique=True)))
    count = iter(range(100 * number, 100 * number + 100))

    def remark() -> str:
        return draw(REMARKS).format(n=next(count))

    def line_of_its_own() -> list[str]:
        kind = draw(st.integers(0, 2))
        return [[], [f"# remark {next(count)} alone"], [""]][kind]

    items = []
    for of in poured:
        amount = draw(AMOUNTS)
        items.append(
            draw(
                st.sampled_from(
                    [
                        f"{amount} {of}",
                        f"{amount}  of {of}",
                        f"'{amount} {of}'",
                        f'"{amount} {of}"',
                        f"{{pour: {amount}, of: {of}}}",
                        f"{{of: '{of}', fixed: yes, pour: {amount} }}",
                    ]
                )
            )
        )
    style = draw(st.sampled_from(["hyphens", "flush", "brackets", "brackets over lines", "keys"]))
    pours: list[str] = []
    if style in ("hyphens", "flush"):
        lead = "- " if style == "flush" else draw(st.sampled_from(["  - ", " -  ", "    - "]))
        pours = [f"pours:{remark()}", *line_of_its_own()]
        for item in items:
            pours += [f"{lead}{item}{remark()}", *line_of_its_own()]
    elif style == "keys":
        pours = ["pours:"]
        for of in poured:
            pours += [f"  - pour: {draw(AMOUNTS)}{remark()}", f"    of: {of}{remark()}"]
    elif style == "brackets":
        pours = [f"pours: [{', '.join(items)}{draw(st.sampled_from(['', ',', ' ']))}]{remark()}"]
    else:
        pours = [
            "pours: [",
            *(f"    {item},{remark()}" for item in items[:-1]),
            f"    {items[-1]}{remark()}",
            f"  ]{remark()}",
        ]
    keys: list[list[str]] = [
        [f"method: shaken{remark()}"],
        pours,
        *draw(st.sampled_from(VERSIONS)),
        *draw(st.sampled_from(OTHERS)),
    ]
    keys += draw(strengths(poured))
    order = draw(st.permutations(keys))
    id_key = [[f"id: {name.lower()}x{remark()}"]] if draw(st.booleans()) else []
    lines = [f"drink: {name}{remark()}"]
    for key in [*order, *id_key]:
        lines += [*key, *line_of_its_own()]
    return lines, poured


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    """A file with the drink Slip alone, or with others around it, in block style."""
    lines, poured = draw(entries("Slip", 1))
    head = draw(st.sampled_from(["", "# head 1\n\n", "---\n", "# head 2\n---\n"]))
    if draw(st.booleans()):
        return Layout(head + "\n".join(lines) + "\n", poured, is_alone=True)
    text = head
    others = [draw(entries(name, number))[0] for number, name in ((2, "Ahead"), (3, "Behind"))]
    lead = draw(st.sampled_from(["- ", "  - ", "-   "]))
    for each in (others[0], lines, others[1])[draw(st.integers(0, 1)) : draw(st.integers(2, 3))]:
        text += draw(st.sampled_from(["", "# above\n", "\n", "\n# above 2\n"]))
        text += "".join(
            f"{lead if at == 0 else ' ' * len(lead) if line else ''}{line}\n" for at, line in enumerate(each)
        )
    return Layout(text, poured, is_alone=False)


NEW = st.sampled_from(["20 ml", "5/8 oz", "1 3/4 oz", "3 barspoons", "31 g", "0.8 oz"])


@st.composite
def wanted_changes(draw: st.DrawFn, drink: Drink) -> list[PourChange]:
    """Any changes to some pours of a drink: other amounts, other things, fewer and more of them."""
    changes: list[PourChange] = []
    free = [slug(name) for name in LIQUIDS if slug(name) not in {pour.of for pour in drink.pours}]
    free = draw(st.permutations(free))
    for pour in drink.pours:
        what = draw(st.sampled_from(["stays", "amount", "other", "goes"]))
        amount = parse_quantity(draw(NEW))
        if what == "amount":
            changes.append(PourChange(pour, pour.of, amount))
        elif what == "other" and free:
            changes.append(PourChange(pour, free.pop(), draw(st.sampled_from([amount, pour.amount]))))
        elif what == "goes":
            changes.append(PourChange(pour, pour.of, None))
    while draw(st.booleans()) and free:
        changes.append(PourChange(None, free.pop(), parse_quantity(draw(NEW))))
    return changes


def told_pours(drink: Drink, changes: Sequence[PourChange]) -> list[tuple[str, Quantity, bool]]:
    """What a drink is to pour, worked out by looking each pour up."""
    found = []
    for pour in drink.pours:
        mine = [change for change in changes if change.pour is pour]
        if not mine:
            found.append((pour.of, pour.amount, pour.fixed))
        elif mine[0].amount is not None:
            found.append((mine[0].of, mine[0].amount, pour.fixed))
    return [*found, *((each.of, each.amount, False) for each in changes if each.pour is None and each.amount)]


def still_written_for(drink: Drink, pours: Sequence[tuple[str, Quantity, bool]]) -> dict[str, Any]:
    """The strengths that it is written for of what it pours."""
    return {"written_for": {of: brix for of, brix in drink.written_for.items() if of in [each[0] for each in pours]}}


def a_house(folder: Path, raw: bytes) -> Loaded:
    write(folder, {FILE: raw, "ingredients/store.yaml": STORE})
    (folder / "drinks/long/two.yaml").unlink()
    return load(folder)


def others(loaded: Loaded, *but: str) -> dict[str, Drink]:
    return {key: drink for key, drink in loaded.specs.drinks.items() if key not in but}


@settings(max_examples=examples(150), deadline=None)
@given(layouts(), st.sampled_from(["\n", "\r\n"]), st.booleans(), st.booleans(), st.data())
def test_any_change_of_any_layout(
    layout: Layout, ends: str, has_mark: bool, ends_bare: bool, data: st.DataObject
) -> None:
    text = layout.text.replace("\n", ends)
    text = text.removesuffix(ends) if ends_bare else text
    mark = b"\xef\xbb\xbf" if has_mark else b""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        loaded = a_house(folder, mark + text.encode())
        assert [problem for problem in loaded.problems if not problem.is_doubt] == []
        drink = next(each for each in loaded.specs.drinks.values() if each.name == "Slip")
        changes = data.draw(wanted_changes(drink))
        pours = told_pours(drink, changes)
        if not pours:
            with pytest.raises(CannotError, match="would pour nothing"):
                edit_drink(folder, loaded, drink, changes, TODAY)
            return

        edit = edit_drink(folder, loaded, drink, changes, TODAY)
        write_edit(folder, edit)

        raw = (folder / FILE).read_bytes()
        assert raw.startswith(mark)
        new = raw.removeprefix(mark).decode()
        assert "\N{BYTE ORDER MARK}" not in new
        after = load(folder)
        now = after.specs.drinks[drink.id]
        assert [(pour.of, pour.amount, pour.fixed) for pour in now.pours] == pours
        assert now.version == ("4" if drink.version else "2")
        assert now.date == "2026-11-25"
        same = {"pours": now.pours, "version": now.version, "date": now.date}
        assert now == drink.model_copy(update=same | still_written_for(drink, pours))
        assert others(after, drink.id) == others(loaded, drink.id)
        assert after.specs.syrups == loaded.specs.syrups
        assert re.findall(r"\r?\n", new) == [ends] * new.count("\n")
        untouched_lines_stay(text, new, changes)


def untouched_lines_stay(old: str, new: str, changes: Sequence[PourChange]) -> None:
    """Every line stays, in order, but those that hold a changed pour, a version or a date, or a list in brackets."""
    touched = [change.pour.of.replace("-", " ") for change in changes if change.pour]
    before, after = old.splitlines(), new.splitlines()
    at, inside, in_brackets = 0, False, False
    for line, following in zip(before, [*before[1:], ""], strict=True):
        inside = "drink: Slip" in line if "drink:" in line else inside
        in_brackets = in_brackets or "pours: [" in line
        of = following if line.lstrip().startswith("- pour:") else line
        is_key = re.match(r" *(?:- )?(?:version|date|written for):", line) is not None
        is_touched = inside and (in_brackets or is_key or any(each in of for each in touched))
        if not is_touched or line.lstrip().startswith("#"):
            assert line in after[at:], line
            at = after.index(line, at) + 1
        in_brackets = in_brackets and re.search(r"\](?: |$|,)", line) is None


@settings(max_examples=examples(150), deadline=None)
@given(layouts(), st.sampled_from(["\n", "\r\n"]), st.booleans(), st.data())
def test_any_copy_of_any_layout(layout: Layout, ends: str, ends_bare: bool, data: st.DataObject) -> None:
    text = layout.text.replace("\n", ends)
    text = text.removesuffix(ends) if ends_bare else text
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        loaded = a_house(folder, text.encode())
        drink = next(each for each in loaded.specs.drinks.values() if each.name == "Slip")
        changes = data.draw(wanted_changes(drink))
        pours = told_pours(drink, changes)
        if not pours:
            return
        called = data.draw(st.sampled_from(["Slip Two", "It's: #2", "Nº 7, dry", '"Q"', "007", "燈台"]))

        edit = new_drink(folder, loaded, drink, changes, called, TODAY)
        write_edit(folder, edit)

        assert (folder / FILE).read_bytes() == text.encode()
        assert edit.path == folder / f"drinks/{slug(called)}.yaml"
        after = load(folder)
        assert others(after, slug(called)) == loaded.specs.drinks
        now = after.specs.drinks[slug(called)]
        assert [(pour.of, pour.amount, pour.fixed) for pour in now.pours] == pours
        assert (now.name, now.version, now.date, now.weighed) == (called, "1", "2026-11-25", None)
        same = {"pours": now.pours, "version": "1", "date": now.date, "weighed": None, "name": called, "id": now.id}
        assert now == drink.model_copy(update=same | still_written_for(drink, pours))
        new = edit.path.read_bytes().decode()
        assert re.findall(r"\r?\n", new) == [ends] * new.count("\n")
        kept_remarks(layout, new, changes)


def kept_remarks(layout: Layout, new: str, changes: Sequence[PourChange]) -> None:
    """The remarks of the entry are all there, but those beside what went; and those of other entries are not."""
    gone = {change.pour.of.replace("-", " ") for change in changes if change.pour and change.amount is None}
    inside = False
    for line in layout.text.split("\n"):
        if "drink:" in line:
            inside = "drink: Slip" in line
        for number in re.findall(r"# remark ([0-9]+)", line):
            is_gone = any(each in line for each in gone) or "id:" in line or "pour:" in line or "of:" in line
            if not is_gone or not inside:
                assert (f"remark {number}" in new) is inside, line


SLIP = "drink: Slip\nmethod: shaken\n"
DATED = "version: 2\ndate: 2026-11-25\n"
TWO = "pours:\n  - 60 ml gold rum\n  - 20 ml raspberry syrup\n"
FLOW = "{drink: Slip, method: shaken, pours: [60 ml gold rum, 20 ml raspberry syrup]%s}"
Told = tuple[str | None, str | None, str | None]
"""What is poured, what instead, and how much; None for the same, for what is added, and for what goes."""
RUM, SUGAR, BERRY = "gold-rum", "simple-syrup", "raspberry-syrup"


def changed(folder: Path, text: str, told: Sequence[Told], name: str | None = None) -> str:
    """The file of Slip after some changes, or that of the new drink."""
    loaded = a_house(folder, text.encode())
    drink = next(each for each in loaded.specs.drinks.values() if each.name == "Slip")
    changes = []
    for of, instead, amount in told:
        pour = next((each for each in drink.pours if each.of == of), None)
        quantity = parse_quantity(amount) if amount else None
        changes.append(PourChange(pour, instead or of or "", quantity))
    if name is None:
        edit = edit_drink(folder, loaded, drink, changes, TODAY)
    else:
        edit = new_drink(folder, loaded, drink, changes, name, TODAY)
    write_edit(folder, edit)
    return edit.path.read_bytes().decode()


@pytest.mark.parametrize(
    ("before", "told", "after"),
    [
        pytest.param(
            FLOW % "",
            [(RUM, None, None), (None, SUGAR, "5 ml")],
            "{drink: Slip, method: shaken, pours: [20 ml raspberry syrup, 5 ml simple syrup], version: 2, "
            "date: 2026-11-25}",
            id="all in brackets",
        ),
        pytest.param(
            f"[{FLOW % ', version: 9'}, {{drink: B, method: x, pours: [1 oz gold rum]}}]",
            [(RUM, SUGAR, "5 ml")],
            "[{drink: Slip, method: shaken, pours: [5 ml simple syrup, 20 ml raspberry syrup], version: 10, "
            "date: 2026-11-25}, {drink: B, method: x, pours: [1 oz gold rum]}]",
            id="a list in brackets",
        ),
        pytest.param(
            '{"drink": "Slip", "method": "shaken", "pours": ["60 ml gold rum"], "version": "3"}\n',
            [(RUM, SUGAR, "5.5 ml"), (None, BERRY, "60 ml")],
            '{"drink": "Slip", "method": "shaken", "pours": ["5.5 ml simple syrup", "60 ml raspberry syrup"], '
            '"version": "4", "date": "2026-11-25"}\n',
            id="like JSON",
        ),
        pytest.param(
            f"{SLIP}pours: 60 ml gold rum  # only\nglass: coupe\n",
            [(None, SUGAR, "5 ml")],
            f"{SLIP}pours:\n  - 60 ml gold rum  # only\n  - 5 ml simple syrup\nglass: coupe\n{DATED}",
            id="one pour without a list",
        ),
        pytest.param(
            f"{SLIP}pours:\n  pour: 60 ml\n  of: gold rum  # only\n",
            [(RUM, SUGAR, "5 ml")],
            f"{SLIP}pours:\n  pour: 5 ml\n  of: simple syrup  # only\n{DATED}",
            id="one pour in keys",
        ),
        pytest.param(
            f"{SLIP}pours:\n  -\n    60 ml gold rum\n  - 20 ml raspberry syrup",
            [(BERRY, None, None)],
            f"{SLIP}pours:\n  -\n    60 ml gold rum\n{DATED[:-1]}",
            id="a hyphen on a line of its own",
        ),
        pytest.param(
            f"{SLIP}pours:\n  - 60 ml gold rum\n  - 20 ml\n    raspberry\n    syrup # x\n",
            [(BERRY, SUGAR, "5 ml")],
            f"{SLIP}pours:\n  - 60 ml gold rum\n  - 5 ml simple syrup # x\n{DATED}",
            id="a pour over lines",
        ),
        pytest.param(
            f"{SLIP}{TWO}notes: |+\n  keep\n\n",
            [(BERRY, None, "5 ml")],
            f"{SLIP}{TWO}notes: |+\n  keep\n\n{DATED}".replace("20 ml", "5 ml"),
            id="blank lines that belong to a text",
        ),
        pytest.param(
            f"{SLIP}{TWO}notes: >\n  keep\n\n\n# after\n",
            [(BERRY, None, "5 ml")],
            f"{SLIP}{TWO}notes: >\n  keep\n{DATED}\n\n# after\n".replace("20 ml", "5 ml"),
            id="blank lines that do not",
        ),
        pytest.param(
            f"{SLIP}version: '2b'   # ours\ndate: \"x\"\npours:\n  - 60 ml gold rum\n...\n",
            [(RUM, None, "5 ml")],
            f"{SLIP}version: '2c'   # ours\ndate: \"2026-11-25\"\npours:\n  - 5 ml gold rum\n...\n",
            id="quotes",
        ),
        pytest.param(
            f"{SLIP}pours: [60 ml gold rum, # one\n  20 ml raspberry syrup # two\n  ]\n",
            [(RUM, None, None)],
            f"{SLIP}pours: [\n  20 ml raspberry syrup # two\n  ]\n{DATED}",
            id="brackets over lines",
        ),
        pytest.param(
            f"{SLIP}pours: [\n  60 ml gold rum,  # one\n  20 ml aqua,  # two\n  5 ml brum\n]\n",
            [("aqua", None, None), ("brum", None, None)],
            f"{SLIP}pours: [\n  60 ml gold rum,  # one\n  \n]\n{DATED}",
            id="the last ones of brackets over lines",
        ),
        pytest.param(
            f"{SLIP}{TWO}written for: {{raspberry syrup: 48 °Bx}}\n",
            [(BERRY, SUGAR, "5 ml")],
            f"{SLIP}pours:\n  - 60 ml gold rum\n  - 5 ml simple syrup\n{DATED}",
            id="the strength that nothing is written for any more",
        ),
        pytest.param(
            f"{SLIP}{TWO}  - 5 ml simple syrup\nwritten for:\n  raspberry syrup: 48 °Bx  # x\n  simple syrup: 49 °Bx\n",
            [(BERRY, None, None), (SUGAR, None, "7 ml")],
            f"{SLIP}pours:\n  - 60 ml gold rum\n  - 7 ml simple syrup\nwritten for:\n  simple syrup: 49 °Bx\n{DATED}",
            id="one strength of two",
        ),
        pytest.param(
            f"{SLIP}{TWO}  - 5 ml simple syrup\nwritten for: {{Raspberry Syrup: 48 °Bx, simple syrup: 49 °Bx}}\n",
            [(SUGAR, None, None)],
            f"{SLIP}{TWO}written for: {{Raspberry Syrup: 48 °Bx}}\n{DATED}",
            id="one strength of two in brackets",
        ),
        pytest.param(
            f"{SLIP}pours:\n- 1½ oz gold rum\n- 22,5 ml lime juice\n- {{pour: '22,5 ml', of: aqua}}\n",
            [(RUM, None, "0.75 oz"), ("lime-juice", BERRY, "17.5 ml"), ("aqua", None, "17.5 ml")],
            f"{SLIP}pours:\n- ¾ oz gold rum\n- 17,5 ml raspberry syrup\n- {{pour: '17,5 ml', of: aqua}}\n{DATED}",
            id="fraction signs and commas as the file has them",
        ),
    ],
)
def test_how_it_is_written(tmp_path: Path, before: str, told: Sequence[Told], after: str) -> None:
    assert changed(tmp_path, before, told) == after


@pytest.mark.parametrize(
    ("before", "told", "code"),
    [
        (f"{SLIP}pours:\n  60 ml gold rum\n", [(None, SUGAR, "5 ml")], "unsafe-edit"),
        (f"{SLIP}pours:\n  pour: 60 ml\n  of: gold rum\n", [(None, SUGAR, "5 ml")], "unsafe-edit"),
        (f"{SLIP}pours:\n  -\n    60 ml gold rum\n  - 20 ml aqua\n", [(RUM, None, None)], "unsafe-edit"),
        ("? drink\n: Slip\n? method\n: shaken\n? pours\n: - 60 ml gold rum\n", [(RUM, None, "5 ml")], "unsafe-edit"),
        (f"{SLIP}pours:\n  - >\n    20 ml gold rum\n", [(RUM, SUGAR, "5 ml")], "block-text"),
        (f"{SLIP}version: |\n  3\npours: 20 ml gold rum\n", [(RUM, None, "5 ml")], "block-text"),
        (f"{SLIP}{TWO}", [(RUM, BERRY, "5 ml")], "poured-twice"),
        (f"{SLIP}{TWO}", [(None, BERRY, "5 ml")], "poured-twice"),
        (f"{SLIP}{TWO}", [(RUM, None, None), (BERRY, None, None)], "last-pour"),
        (f"{SLIP}{TWO}", [(None, "water", "5 ml")], "unknown-name"),
    ],
)
def test_what_is_refused_is_left_as_it_is(tmp_path: Path, before: str, told: Sequence[Told], code: str) -> None:
    with pytest.raises(CannotError) as caught:
        changed(tmp_path, before, told)
    assert caught.value.code == code
    assert caught.value.remedy
    assert (tmp_path / FILE).read_bytes() == before.encode()


@pytest.mark.parametrize(
    ("before", "name", "after"),
    [
        pytest.param(
            f"[{FLOW % ', id: x, weighed: {before: 80 g, after: 99 g}'}, {{drink: B, method: x, pours: [1 oz aqua]}}]",
            "Sli: p",
            '{drink: "Sli: p", method: shaken, pours: [60 ml gold rum, 20 ml raspberry syrup], version: 1, '
            "date: 2026-11-25}\n",
            id="a list in brackets",
        ),
        pytest.param(
            "# all\n\n# mine\n- drink: Slip # a\n  method: shaken\n  pours:\n  - 60 ml gold rum\n  notes: |2\n    two\n"
            "  # tail\n# B's\n- drink: B\n  method: x\n  pours: [1 oz gold rum]",
            "Slip B",
            "# mine\ndrink: Slip B # a\nmethod: shaken\npours:\n- 60 ml gold rum\nnotes: |2\n  two\n"
            "version: 1\ndate: 2026-11-25\n# tail\n",
            id="one of several",
        ),
        pytest.param(
            f"# head\nid: slippy\n{SLIP}by: Runa\nversion: draft\nweighed:\n  before: 80 g\n  after: 99 g\n{TWO}",
            "New",
            f"# head\n{SLIP}version: 1\n{TWO}date: 2026-11-25\n".replace("Slip", "New"),
            id="a file of its own",
        ),
    ],
)
def test_how_a_copy_is_written(tmp_path: Path, before: str, name: str, after: str) -> None:
    assert changed(tmp_path, before, [], name) == after


@pytest.mark.parametrize(("name", "code"), [("SLIP!", "name-taken"), ("Half Tide", "file-exists"), ("!!", "name")])
def test_a_name_that_cannot_be_had(tmp_path: Path, name: str, code: str) -> None:
    theirs = tmp_path / "drinks/half-tide.yaml"
    theirs.parent.mkdir()
    theirs.write_text("not a drink", encoding="utf-8")
    with pytest.raises(CannotError) as caught:
        changed(tmp_path, SLIP + TWO, [], name)
    assert caught.value.code == code
    assert theirs.read_text(encoding="utf-8") == "not a drink"
    assert sorted(path.name for path in theirs.parent.glob("*.yaml")) == ["half-tide.yaml", "slipway-sour.yaml"]


def test_a_file_that_came_meanwhile_is_never_written_over(tmp_path: Path) -> None:
    loaded = a_house(tmp_path, (SLIP + TWO).encode())
    edit = new_drink(tmp_path, loaded, loaded.specs.drinks["slip"], [], "New", TODAY)
    edit.path.write_text("theirs", encoding="utf-8")
    with pytest.raises(CannotError, match="is there already; nothing was written"):
        write_edit(tmp_path, edit)
    assert edit.path.read_text(encoding="utf-8") == "theirs"


def test_what_is_wrong_elsewhere_in_the_file_stops_nobody(tmp_path: Path) -> None:
    """Its line moves when a pour is added above it."""
    wrong = "- drink: B\n  method: x\n  pours:\n  - 5 ml nonsuch\n"
    slip = "".join(f"  {line}\n" for line in (SLIP + TWO).splitlines()).replace("  drink", "- drink")
    after = changed(tmp_path, slip + wrong, [(None, SUGAR, "5 ml")])
    assert after.endswith(f"  version: 2\n  date: 2026-11-25\n{wrong}")
    assert [problem.line for problem in load(tmp_path).problems] == [wrong.count("\n") + after.count("\n") - 4]


def test_a_fault_of_the_new_amount_is_told_at_its_place(tmp_path: Path) -> None:
    loaded = a_house(tmp_path, (SLIP + TWO).encode())
    drink = loaded.specs.drinks["slip"]
    change = PourChange(None, SUGAR, Quantity(2.0, "cubes"))
    with pytest.raises(ProblemsError) as caught:
        edit_drink(tmp_path, loaded, drink, [change], TODAY)
    (problem,) = caught.value.problems()
    assert (problem.code, problem.line) == ("unit", 6)
