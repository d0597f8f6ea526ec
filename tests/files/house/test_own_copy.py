"""An entry of the base as the house's own: its text as it stands, and the base untouched."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from balancer.errors import CannotError
from balancer.files.house.edit import edit_pour
from balancer.files.house.entries import NAME_KEY
from balancer.files.house.load import load
from balancer.files.house.overrides import FILE, agreed, read_seen, remember_seen, standings
from balancer.files.house.own_copy import own_copy, write_own_copy
from balancer.units import parse_quantity
from tests.cli.runner import CHECKOUT
from tests.files.folders import write
from tests.files.house.test_base import SOUR, files, on_base

AT = datetime(2026, 11, 25, 18, tzinfo=UTC)
LISTED = """\
# What the whole file is about.

# of Runa's
- drink: First
  method: built
  pours: [60 ml gold rum]   # only that
  dilution: 0 %
  # its own last word

# A heading for what follows
# and one line more
-
  # keys begin below the hyphen
  drink: Second
  method: built
  notes: >
    - drink: not one
    folded
  pours:
  - 50 ml gold rum
  dilution: 0 %
# right above the third
- {drink: Third, method: built,
   pours: [40 ml gold rum], dilution: 0 %}   # behind it
- drink: Fourth
  method: built
  pours: [30 ml gold rum]
  dilution: 0 %
# the end of the file
"""
WANTED = {
    "first": """\
# of Runa's
- drink: First
  method: built
  pours: [60 ml gold rum]   # only that
  dilution: 0 %
  # its own last word
""",
    "second": """\
# A heading for what follows
# and one line more
-
  # keys begin below the hyphen
  drink: Second
  method: built
  notes: >
    - drink: not one
    folded
  pours:
  - 50 ml gold rum
  dilution: 0 %
""",
    "third": "{drink: Third, method: built,\n   pours: [40 ml gold rum], dilution: 0 %}\n",
    "fourth": "- drink: Fourth\n  method: built\n  pours: [30 ml gold rum]\n  dilution: 0 %\n",
}


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize("identity", WANTED)
def test_out_of_a_list_come_its_lines_and_the_remarks_right_above(tmp_path: Path, identity: str) -> None:
    house = on_base(tmp_path)
    files(tmp_path / "group", {"drinks/listed.yaml": LISTED})
    copy = own_copy(house, "drinks", identity)
    assert copy.text == WANTED[identity]
    assert copy.path == house / "drinks" / f"{identity}.yaml"


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_line_ends_stay(tmp_path: Path, newline: str) -> None:
    house = on_base(tmp_path)
    (tmp_path / "group" / "drinks" / "listed.yaml").write_bytes(LISTED.replace("\n", newline).encode())
    assert own_copy(house, "drinks", "second").text == WANTED["second"].replace("\n", newline)


def test_a_file_of_one_comes_whole_under_its_name(tmp_path: Path) -> None:
    house = on_base(tmp_path)
    text = f"# ours\n\n{SOUR}# the end"
    files(tmp_path / "group", {"drinks/slipway-sour.yaml": text})
    copy = own_copy(house, "drinks", "slipway-sour")
    assert (copy.text, copy.path.name) == (text, "slipway-sour.yaml")
    files(house, {"drinks/slipway-sour.yaml": "drink: Another\nmethod: built\npours: [9 ml gold rum]\ndilution: 0 %\n"})
    assert own_copy(house, "drinks", "slipway-sour").path.name == "slipway-sour-2.yaml"


def test_a_house_with_everything_copied_is_the_same_house(tmp_path: Path) -> None:
    house = files(tmp_path / "stair", {"house.yaml": f"format: 1\nhouse: Stair\nbase: {CHECKOUT / 'specs'}\n"})
    before = load(house)
    for kind, identity in before.origin:
        write_own_copy(house, own_copy(house, kind, identity), AT)
    after = load(house)
    assert after.problems == before.problems == ()
    assert after.specs.drinks == before.specs.drinks
    assert after.specs.syrups == before.specs.syrups
    assert after.specs.ingredients == before.specs.ingredients
    assert {(one.kind, one.id) for one in after.overrides} == before.origin.keys()
    told = standings(after.overrides, read_seen(house)[0], ())
    assert {(one.since, one.is_identical) for one in told} == {("same", True)}


def test_the_base_is_never_written(tmp_path: Path) -> None:
    house = on_base(tmp_path)
    before = contents(tmp_path / "group")
    write_own_copy(house, own_copy(house, "drinks", "half-tide"), AT)
    assert contents(tmp_path / "group") == before
    assert {*contents(house)} == {"house.yaml", "drinks/half-tide.yaml", FILE, ".batches.lock"}


def test_an_edit_of_the_base_is_refused(tmp_path: Path) -> None:
    house = on_base(tmp_path)
    before, loaded = contents(tmp_path), load(house)
    drink = loaded.specs.drinks["slipway-sour"]
    with pytest.raises(CannotError) as refused:
        edit_pour(house, loaded, drink, drink.pours[0], parse_quantity("50 ml"), "50 ml")
    assert refused.value.code == "in-base"
    assert contents(tmp_path) == before


def test_what_the_house_has_itself_is_not_copied(tmp_path: Path) -> None:
    house = on_base(tmp_path, {"drinks/sour.yaml": SOUR})
    with pytest.raises(CannotError):
        own_copy(house, "drinks", "slipway-sour")
    write_own_copy(house, copy := own_copy(house, "drinks", "half-tide"), AT)
    with pytest.raises(CannotError) as refused:
        write_own_copy(house, copy, AT)
    assert refused.value.code == "changed"


class TestSince:
    """What became of the base since the house saw it."""

    @pytest.fixture
    def house(self, tmp_path: Path) -> Path:
        house = on_base(tmp_path)
        files(tmp_path / "group", {"drinks/slipway-sour.yaml": SOUR})
        write_own_copy(house, own_copy(house, "drinks", "slipway-sour"), AT, SOUR.replace("50 ml", "55 ml"))
        return house

    def since(self, house: Path) -> list[tuple[str, list[tuple[str, object, object]]]]:
        loaded = load(house)
        own = [("drinks", identity, drink.name) for identity, drink in loaded.specs.drinks.items()]
        found = standings(loaded.overrides, read_seen(house)[0], own)
        return [(one.since, [tuple(change) for change in one.changes]) for one in found]

    def group(self, house: Path, text: str) -> None:
        files(house.parent / "group", {"drinks/slipway-sour.yaml": text})

    def test_nothing(self, house: Path) -> None:
        assert self.since(house) == [("same", [])]

    def test_another_layout_is_nothing(self, house: Path) -> None:
        one_a_line = "pours:\n  - 50  ml gold rum\n  - 20 ml lime juice\n"
        self.group(house, f"# new\ndrink: Slipway Sour\n{one_a_line}method: shaken\n")
        assert self.since(house) == [("same", [])]

    def test_another_pour_and_a_new_key(self, house: Path) -> None:
        self.group(house, f"{SOUR.replace('20 ml', '25 ml')}glass: coupe\n")
        assert self.since(house) == [
            (
                "changed",
                [
                    ("pours", ["50 ml gold rum", "20 ml lime juice"], ["50 ml gold rum", "25 ml lime juice"]),
                    ("glass", None, "coupe"),
                ],
            )
        ]
        remember_seen(house, agreed(load(house).overrides, AT))
        assert self.since(house) == [("same", [])]

    def test_back_again_was_seen(self, house: Path) -> None:
        self.group(house, SOUR.replace("20 ml", "25 ml"))
        remember_seen(house, agreed(load(house).overrides, AT))
        self.group(house, SOUR)
        assert self.since(house) == [("same", [])]

    def test_gone(self, house: Path) -> None:
        (house.parent / "group" / "drinks" / "slipway-sour.yaml").unlink()
        assert self.since(house) == [("gone", [])]

    def test_nobody_noted_it(self, house: Path) -> None:
        (house / FILE).unlink()
        assert self.since(house) == [("unknown", [])]

    def test_two_copies_of_the_notes_merge_in_any_order(self, house: Path) -> None:
        ours = (house / FILE).read_bytes()
        self.group(house, SOUR.replace("20 ml", "25 ml"))
        (house / FILE).unlink()
        remember_seen(house, agreed(load(house).overrides, AT))
        theirs = (house / FILE).read_bytes()
        for text in (ours + theirs, theirs + ours, theirs + ours + theirs):
            (house / FILE).write_bytes(text)
            assert self.since(house) == [("same", [])]

    @pytest.mark.parametrize(
        "line", ["<<<<<<< HEAD", "- {}", "- [1]", "- {broken", "\xff", '- {"kind": 1, "id": 2, "said": 3, "at": 4}']
    )
    def test_a_broken_line_is_told_and_harms_no_other(self, house: Path, line: str) -> None:
        with (house / FILE).open("ab") as file:
            file.write(f"{line}\n# a remark\n\n".encode("latin-1"))
        seen, problems = read_seen(house)
        assert [(one.path, one.line) for one in problems] == [(str(house / FILE), 2)]
        assert len(seen) == 1


def test_kinds_are_those_of_the_folders(tmp_path: Path) -> None:
    write(tmp_path)
    assert {kind for kind, _ in load(on_base(tmp_path / "x")).origin} == set(NAME_KEY)
