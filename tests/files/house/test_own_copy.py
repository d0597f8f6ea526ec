"""An entry of the base as the house's own: its text as it stands, and the base untouched."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from balancer.errors import CannotError
from balancer.files.house.edit import Edit, edit_drink, edit_standard, new_drink
from balancer.files.house.entries import NAME_KEY, Entry, entries_of
from balancer.files.house.load import load
from balancer.files.house.overrides import FILE, agreed, read_seen, remember_seen, standings
from balancer.files.house.own_copy import OwnCopy, own_copy
from balancer.files.house.write_edit import write_edit
from balancer.models.changes import PourChange
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
- drink: Second
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
drink: First
method: built
pours: [60 ml gold rum]   # only that
dilution: 0 %
# its own last word
""",
    "second": """\
# A heading for what follows
# and one line more
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
    "fourth": "drink: Fourth\nmethod: built\npours: [30 ml gold rum]\ndilution: 0 %\n",
}


def entry_of(folder: Path, kind: str, identity: str) -> Entry:
    return next(entry for entry in entries_of(folder, kind) if entry.id == identity)


def copy_of(folder: Path, kind: str, identity: str) -> OwnCopy:
    return own_copy(folder, entry_of(folder, kind, identity))


def edited(folder: Path, identity: str = "slipway-sour", amount: str = "55 ml") -> Edit:
    """The first pour of a drink set to an amount."""
    loaded = load(folder)
    drink = loaded.specs.drinks[identity]
    change = PourChange(drink.pours[0], drink.pours[0].of, parse_quantity(amount), amount)
    return edit_drink(folder, loaded, drink, [change], AT.date())


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize("identity", WANTED)
def test_out_of_a_list_come_its_lines_and_the_remarks_right_above(tmp_path: Path, identity: str) -> None:
    house = on_base(tmp_path)
    files(tmp_path / "group", {"drinks/listed.yaml": LISTED})
    text = copy_of(house, "drinks", identity).text
    assert text.text == WANTED[identity]
    assert text.document.path == str(house / "drinks" / f"{identity}.yaml")


def test_line_ends_stay(tmp_path: Path) -> None:
    house = on_base(tmp_path)
    (tmp_path / "group" / "drinks" / "listed.yaml").write_bytes(LISTED.replace("\n", "\r\n").encode())
    assert copy_of(house, "drinks", "second").text.text == WANTED["second"].replace("\n", "\r\n")


def test_a_file_of_one_comes_whole_under_its_name(tmp_path: Path) -> None:
    house = on_base(tmp_path)
    text = f"# ours\n\n{SOUR}# the end"
    files(tmp_path / "group", {"drinks/slipway-sour.yaml": text})
    copy = copy_of(house, "drinks", "slipway-sour").text
    assert (copy.text, Path(copy.document.path).name) == (text, "slipway-sour.yaml")
    files(house, {"drinks/slipway-sour.yaml": "drink: Another\nmethod: built\npours: [9 ml gold rum]\ndilution: 0 %\n"})
    assert Path(copy_of(house, "drinks", "slipway-sour").text.document.path).name == "slipway-sour-2.yaml"


def test_a_house_with_everything_copied_is_the_same_house(tmp_path: Path) -> None:
    house = files(tmp_path / "stair", {"house.yaml": f"format: 1\nhouse: Stair\nbase: {CHECKOUT / 'specs'}\n"})
    before = load(house)
    copies = [copy_of(house, kind, identity) for kind, identity in before.origin]
    for copy in copies:
        files(house, {str(Path(copy.text.document.path).relative_to(house)): copy.text.text})
    remember_seen(house, [copy.seen(AT) for copy in copies])
    after = load(house)
    assert after.problems == before.problems == ()
    assert after.specs.drinks == before.specs.drinks
    assert after.specs.syrups == before.specs.syrups
    assert after.specs.ingredients == before.specs.ingredients
    assert {(one.kind, one.id) for one in after.overrides} == before.origin.keys()
    told = standings(after.overrides, read_seen(house)[0], ())
    assert {(one.since, one.is_identical) for one in told} == {("same", True)}


class TestEdits:
    """A change of what the base has is made in a copy; the base is never written."""

    def test_of_a_drink(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        before = contents(tmp_path / "group")
        edit = edited(house)
        assert {*contents(house)} == {"house.yaml"}  # nothing is written yet
        write_edit(house, edit, at=AT)
        assert contents(tmp_path / "group") == before
        assert {*contents(house)} == {"house.yaml", "drinks/slipway-sour.yaml", FILE, ".batches.lock"}
        loaded = load(house)
        assert loaded.specs.drinks["slipway-sour"].pours[0].amount == parse_quantity("55 ml")
        assert [(one.kind, one.id) for one in loaded.overrides] == [("drinks", "slipway-sour")]
        assert [one.since for one in standings(loaded.overrides, read_seen(house)[0], ())] == ["same"]

    def test_of_a_standard(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        before, loaded = contents(tmp_path / "group"), load(house)
        write_edit(house, edit_standard(house, loaded, loaded.specs.syrups["raspberry-syrup"], 52.0, "52 °Bx"), at=AT)
        assert contents(tmp_path / "group") == before
        assert load(house).specs.syrups["raspberry-syrup"].standard == 52.0
        text = (house / "syrups" / "raspberry-syrup.yaml").read_text(encoding="utf-8")
        base = (tmp_path / "group" / "syrups" / "raspberry-syrup.yaml").read_text(encoding="utf-8")
        assert text == base.replace("standard: 50 °Bx", "standard: 52 °Bx")

    @pytest.mark.parametrize("inside", [False, True])
    def test_of_what_the_house_has_itself(self, tmp_path: Path, *, inside: bool) -> None:
        """Also where the base lies in the house's own folder."""
        house = on_base(tmp_path, {"drinks/sour.yaml": SOUR})
        if inside:
            (tmp_path / "group").rename(house / "group")
            (house / "house.yaml").write_text("format: 1\nhouse: Stair\nbase: group\n", encoding="utf-8")
        write_edit(house, edited(house), at=AT)
        assert not (house / FILE).exists()
        assert "55 ml" in (house / "drinks" / "sour.yaml").read_text(encoding="utf-8")
        group = contents(house / "group" if inside else tmp_path / "group")
        edit = edited(house, "half-tide")
        assert edit.path == house / "drinks" / "half-tide.yaml"
        write_edit(house, edit, at=AT)
        assert contents(house / "group" if inside else tmp_path / "group") == group

    def test_a_new_drink_out_of_the_base_is_the_houses(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        before, loaded = contents(tmp_path / "group"), load(house)
        edit = new_drink(house, loaded, loaded.specs.drinks["slipway-sour"], [], "Stair Sour", AT.date())
        write_edit(house, edit, at=AT)
        assert contents(tmp_path / "group") == before
        assert {*contents(house)} == {"house.yaml", "drinks/stair-sour.yaml", ".batches.lock"}
        assert load(house).overrides == ()

    def test_a_file_that_came_meanwhile_stays(self, tmp_path: Path) -> None:
        house = on_base(tmp_path)
        edit = edited(house)
        files(house, {"drinks/slipway-sour.yaml": SOUR})
        with pytest.raises(CannotError):
            write_edit(house, edit, at=AT)
        assert (house / "drinks" / "slipway-sour.yaml").read_text(encoding="utf-8") == SOUR
        assert not (house / FILE).exists()


class TestSince:
    """What became of the base since the house saw it."""

    @pytest.fixture
    def house(self, tmp_path: Path) -> Path:
        house = on_base(tmp_path)
        files(tmp_path / "group", {"drinks/slipway-sour.yaml": SOUR})
        write_edit(house, edited(house), at=AT)
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

    def test_a_hard_link_to_the_notes_stays_one(self, house: Path) -> None:
        os.link(house / FILE, house.parent / "second")
        self.group(house, SOUR.replace("20 ml", "25 ml"))
        remember_seen(house, agreed(load(house).overrides, AT))
        assert os.path.samefile(house / FILE, house.parent / "second")
        assert self.since(house) == [("same", [])]

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


def test_two_who_copy_one_drink_of_the_base_at_once(tmp_path: Path) -> None:
    """The later one changes no new drink, and was told to give it another name."""
    stair = on_base(tmp_path)
    first, second = edited(stair), edited(stair, amount="50 ml")
    write_edit(stair, first, at=AT)
    before = contents(tmp_path)
    with pytest.raises(CannotError, match="changed meanwhile; nothing was written") as caught:
        write_edit(stair, second, at=AT)
    assert caught.value.code == "changed"
    assert "slipway-sour.yaml" in str(caught.value)
    assert "another name" not in str(caught.value.remedy)
    assert contents(tmp_path) == before


def test_what_the_base_says_is_noted_before_it_is_copied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Killed between the two, the house had a copy of which nobody could tell whether the base has moved on."""
    stair = on_base(tmp_path)
    edit = edited(stair)

    def killed(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr("balancer.files.house.write_edit.save_new", killed)
        with pytest.raises(KeyboardInterrupt):
            write_edit(stair, edit, at=AT)
    assert not edit.path.exists()
    assert [one.id for one in read_seen(stair)[0]] == ["slipway-sour"]
    assert not load(stair).problems
    write_edit(stair, edited(stair), at=AT)
    assert edit.path.exists()
    assert not load(stair).problems
