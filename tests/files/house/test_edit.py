"""One value changed in place: nothing but its characters, and it reads back as what was asked for."""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from datetime import date
from pathlib import Path
from typing import NamedTuple

import pytest
from filelock import FileLock
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.errors import CannotError, ProblemsError
from balancer.files.house import writing as writing_module
from balancer.files.house.edit import Edit, edit_drink, edit_standard, new_drink
from balancer.files.house.load import Loaded, load
from balancer.files.house.write_edit import write_edit
from balancer.files.log.batch_log import LOCK
from balancer.files.save import other_names
from balancer.models.changes import PourChange
from balancer.models.drink import Drink
from balancer.models.pour import RINSE, Pour
from balancer.units import Quantity, format_quantity, parse_quantity
from tests.cli.runner import CHECKOUT
from tests.examples import examples
from tests.files.folders import write

DEMO = CHECKOUT / "specs"
FILE = "drinks/slipway-sour.yaml"
SOUR = """\
drink: Slipway Sour
method: shaken
pours:
  - 60 ml gold rum
  - 22.5 ml lime juice
  - {line}
dilution: 45 %
version: {version}
date: 2026-11-25
"""
TODAY = date(2026, 11, 25)


def sour(line: str, version: int = 3) -> str:
    """The drink with a pour, and its version."""
    return SOUR.replace("{line}", line).replace("{version}", str(version))


def edit_pour(folder: Path, before: Loaded, drink: Drink, pour: Pour, amount: Quantity, written: str) -> Edit:
    """One pour of a drink with another amount, as a person typed it."""
    return edit_drink(folder, before, drink, [PourChange(pour, pour.of, amount, written)], TODAY)


def raspberry(folder: Path, drink: str = "slipway-sour", of: str = "raspberry-syrup") -> tuple[Drink, Pour]:
    """A drink of a folder without problems, and one of its pours."""
    loaded = load(folder)
    assert [problem.message for problem in loaded.problems] == []
    found = loaded.specs.drinks[drink]
    return found, next(pour for pour in found.pours if pour.of == of)


def changed(folder: Path, written: str, amount: Quantity | None = None, **named: str) -> Edit:
    """A pour of the folder set to another amount and written."""
    drink, pour = raspberry(folder, **named)
    edit = edit_pour(folder, load(folder), drink, pour, amount or parse_quantity(written), written)
    write_edit(folder, edit)
    return edit


@pytest.mark.parametrize(
    ("line", "written", "then"),
    [
        ("22.5 ml raspberry syrup   # ours", "20 ml", "20 ml raspberry syrup   # ours"),
        ("22.5ml raspberry syrup", "20 ml", "20 ml raspberry syrup"),
        ("22,5 ml of raspberry syrup", "17,5 ml", "17,5 ml of raspberry syrup"),
        ("1 1/2 oz raspberry syrup", "3/4 oz", "3/4 oz raspberry syrup"),
        ("1½\u00a0oz\u00a0raspberry syrup", "20 ml", "20 ml\u00a0raspberry syrup"),
        ("1 fl oz raspberry syrup", "20 ml", "20 ml raspberry syrup"),
        ("'22.5 ml raspberry syrup'", "20 ml", "'20 ml raspberry syrup'"),
        ('" 22.5 ml  raspberry\\x20syrup" # x', "20 ml", '" 20 ml  raspberry\\x20syrup" # x'),
        ("{pour: 22.5 ml, of: raspberry syrup}", "20 ml", "{pour: 20 ml, of: raspberry syrup}"),
        ("{of: raspberry syrup, pour: 22.5 ml }", "17,5 ml", "{of: raspberry syrup, pour: 17.5 ml }"),
        ("{pour: '22,5 ml', of: raspberry syrup}", "17,5 ml", "{pour: '17,5 ml', of: raspberry syrup}"),
        ("pour: 22.5 ml  # a\n    of: raspberry syrup", "17,5 ml", "pour: 17,5 ml  # a\n    of: raspberry syrup"),
        ("22.5 ml\n    raspberry syrup", "20 ml", "20 ml\n    raspberry syrup"),
        ("rinse raspberry syrup", "5 ml", "5 ml raspberry syrup"),
        ("Rinse of raspberry syrup", "5 ml", "5 ml of raspberry syrup"),
    ],
)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_only_the_amount_changes(tmp_path: Path, line: str, written: str, then: str, ends: str) -> None:
    before, after = (sour(text, of).replace("\n", ends) for text, of in ((line, 3), (then, 4)))
    write(tmp_path, {FILE: b"\xef\xbb\xbf" + before.encode()})

    changed(tmp_path, written)

    assert (tmp_path / FILE).read_bytes() == b"\xef\xbb\xbf" + after.encode()
    assert raspberry(tmp_path)[1].amount == parse_quantity(written)


@pytest.mark.parametrize(
    ("line", "then"),
    [
        ("22.5 ml raspberry syrup", "rinse raspberry syrup"),
        ("{pour: 22.5 ml, of: raspberry syrup}", "{pour: 1 rinse, of: raspberry syrup}"),
    ],
)
def test_a_pour_becomes_a_rinse(tmp_path: Path, line: str, then: str) -> None:
    write(tmp_path, {FILE: sour(line)})
    changed(tmp_path, RINSE, Quantity(1.0, RINSE))
    assert (tmp_path / FILE).read_text(encoding="utf-8") == sour(then, 4)


def test_an_own_unit(tmp_path: Path) -> None:
    write(tmp_path)
    edit = changed(tmp_path, "3 cubes", Quantity(3.0, "cubes"), drink="quay-cooler", of="granulated-sugar")
    now = edit.old.replace("- 2 cubes granulated", "- 3 cubes granulated")
    assert edit.new == now.replace("dilution: 20 %\n", "dilution: 20 %\n  version: 2\n  date: 2026-11-25\n")


def test_one_entry_of_several_and_a_list_in_brackets(tmp_path: Path) -> None:
    write(tmp_path)
    edit = changed(tmp_path, "7,25 ml", drink="half-tide", of="simple-syrup")
    now = edit.old.replace("7.5 ml simple syrup", "7.25 ml simple syrup")
    assert edit.new == f"{now}  version: 2\n  date: 2026-11-25\n"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        (">\n    22.5 ml\n    raspberry syrup", "block-text"),
        ("|\n    22.5 ml raspberry syrup", "block-text"),
        ('"22.5\\x20ml raspberry syrup"', "coded-text"),
        ('"\\x322.5 ml raspberry syrup"', "coded-text"),
        ('"1\\u00bd oz raspberry syrup"', "coded-text"),
    ],
)
def test_what_cannot_be_spliced_is_refused(tmp_path: Path, line: str, code: str) -> None:
    write(tmp_path, {FILE: sour(line)})
    raw = (tmp_path / FILE).read_bytes()
    with pytest.raises(CannotError, match=r"slipway-sour\.yaml:6; ") as caught:
        changed(tmp_path, "20 ml")
    assert caught.value.code == code
    assert (tmp_path / FILE).read_bytes() == raw


@pytest.mark.parametrize("written", ["20 ml # half", "20 ml: 5", "20 ml\n  - 5 ml soda water", "25 ml", '20 ml "x'])
def test_a_text_that_changes_more_than_the_amount_is_refused(tmp_path: Path, written: str) -> None:
    """Whatever a caller hands in, what the files then say decides."""
    write(tmp_path, {FILE: sour("22.5 ml raspberry syrup")})
    raw = (tmp_path / FILE).read_bytes()
    with pytest.raises((CannotError, ProblemsError)):
        changed(tmp_path, written, Quantity(20.0, "ml"))
    assert (tmp_path / FILE).read_bytes() == raw


def test_an_amount_that_breaks_the_drink_is_told_at_its_place(tmp_path: Path) -> None:
    write(tmp_path, {FILE: sour("22.5 ml raspberry syrup")})
    with pytest.raises(ProblemsError) as caught:
        changed(tmp_path, "2 cubes", Quantity(2.0, "cubes"))
    (problem,) = caught.value.problems()
    assert (problem.code, problem.line, problem.column) == ("unit", 6, 5)


@pytest.mark.parametrize(
    ("before", "written", "after"),
    [
        ("standard: 50 °Bx    # 1:1\n", "52,5 °Bx", "standard: 52,5 °Bx    # 1:1\n"),
        ("standard: '50 ºBx'\n", "52 °Bx", "standard: '52 °Bx'\n"),
        ("standard: 50bx\n", "52 °Bx", "standard: 52 °Bx\n"),
    ],
)
def test_a_standard(tmp_path: Path, before: str, written: str, after: str) -> None:
    write(tmp_path, {"syrups/raspberry-syrup.yaml": f"syrup: raspberry syrup\n{before}"})
    loaded = load(tmp_path)
    brix = parse_quantity(written).value
    edit = edit_standard(tmp_path, loaded, loaded.specs.syrups["raspberry-syrup"], brix, written)
    write_edit(tmp_path, edit)
    assert (tmp_path / "syrups/raspberry-syrup.yaml").read_text(encoding="utf-8") == f"syrup: raspberry syrup\n{after}"
    assert load(tmp_path).specs.syrups["raspberry-syrup"].standard == brix


def test_a_standard_in_brackets_takes_a_point(tmp_path: Path) -> None:
    write(tmp_path, {"syrups/raspberry-syrup.yaml": "{syrup: raspberry syrup, standard: 50 °Bx}"})
    loaded = load(tmp_path)
    edit = edit_standard(tmp_path, loaded, loaded.specs.syrups["raspberry-syrup"], 52.5, "52,5 °Bx")
    assert edit.new == "{syrup: raspberry syrup, standard: 52.5 °Bx}"


def test_a_standard_reading_is_left_to_the_person(tmp_path: Path) -> None:
    loaded = load(write(tmp_path))
    with pytest.raises(CannotError, match='"standard reading: 50 °Bx"') as caught:
        edit_standard(tmp_path, loaded, loaded.specs.syrups["simple-syrup"], 52.0, "52 °Bx")
    assert "standard: 52 °Bx" in caught.value.remedy
    assert "line 2" in caught.value.remedy


def test_another_person_was_faster(tmp_path: Path) -> None:
    write(tmp_path)
    drink, pour = raspberry(tmp_path)
    edit = edit_pour(tmp_path, load(tmp_path), drink, pour, Quantity(20.0, "ml"), "20 ml")
    theirs = (tmp_path / FILE).read_bytes() + b"# theirs\n"
    (tmp_path / FILE).write_bytes(theirs)
    with pytest.raises(CannotError, match="changed meanwhile"):
        write_edit(tmp_path, edit)
    assert (tmp_path / FILE).read_bytes() == theirs


def test_a_folder_that_changed_since_it_was_loaded(tmp_path: Path) -> None:
    """The comparison is with what the person was shown, so a change elsewhere is never written along unseen."""
    write(tmp_path)
    loaded = load(tmp_path)
    drink = loaded.specs.drinks["slipway-sour"]
    write(tmp_path, {FILE: sour("10 ml simple syrup")})
    with pytest.raises(CannotError):
        edit_pour(tmp_path, loaded, drink, drink.pours[0], Quantity(50.0, "ml"), "50 ml")


def test_a_version_that_came_since_the_folder_was_loaded_is_not_given_twice(tmp_path: Path) -> None:
    """The next version was that of the drink as loaded, spliced into the text of the one that came after it."""
    write(tmp_path)
    loaded = load(tmp_path)
    drink = loaded.specs.drinks["slipway-sour"]
    changed(tmp_path, "20 ml")
    theirs = (tmp_path / FILE).read_bytes()
    with pytest.raises(CannotError, match="changed meanwhile") as caught:
        edit_pour(tmp_path, loaded, drink, drink.pours[0], Quantity(50.0, "ml"), "50 ml")
    assert FILE in str(caught.value)
    assert (tmp_path / FILE).read_bytes() == theirs


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("drinks/other.yaml", "drink: Other\nmethod: stirred\npours:\n  - 50 ml gold rum\n"),
        ("house.yaml", "house: Another Bar\n"),
        ("syrups/raspberry-syrup.yaml", "syrup: raspberry syrup\nstandard: 51 °Bx\n"),
        ("drinks/torn.yaml", "drink: [\n"),
    ],
)
def test_what_else_came_since_is_told_as_that(tmp_path: Path, file: str, text: str) -> None:
    """It was "cannot be changed here without touching more than it", of a drink that nobody else touched."""
    write(tmp_path)
    loaded = load(tmp_path)
    drink = loaded.specs.drinks["slipway-sour"]
    before = (tmp_path / FILE).read_bytes()
    write(tmp_path, {file: text})
    with pytest.raises(CannotError, match="changed meanwhile") as caught:
        edit_pour(tmp_path, loaded, drink, drink.pours[0], Quantity(50.0, "ml"), "50 ml")
    assert caught.value.code == "changed"
    assert (tmp_path / FILE).read_bytes() == before


@pytest.mark.parametrize(
    ("file", "text", "is_told"),
    [
        ("syrups/simple-syrup.yaml", "syrup: simple syrup\nstandard: 60 °Bx\n", True),
        ("house.yaml", "house: Another Bar\n", True),
        ("drinks/other.yaml", "drink: Other\nmethod: stirred\npours:\n  - 50 ml gold rum\n", False),
        ("syrups/simple-syrup.yaml", None, False),
    ],
)
def test_what_is_poured_is_looked_at_once_more_before_it_is_written(
    tmp_path: Path, file: str, text: str | None, is_told: bool
) -> None:
    """A person thought about "write it?" while somebody gave the syrup another standard: what was shown is not so."""
    write(tmp_path)
    drink, pour = raspberry(tmp_path)
    edit = edit_pour(tmp_path, load(tmp_path), drink, pour, Quantity(20.0, "ml"), "20 ml")
    before = (tmp_path / FILE).read_bytes()
    write(tmp_path, {file: (tmp_path / file).read_text(encoding="utf-8") + "# looked at\n" if text is None else text})
    if is_told:
        with pytest.raises(CannotError, match="changed meanwhile"):
            write_edit(tmp_path, edit)
    else:
        write_edit(tmp_path, edit)
    assert ((tmp_path / FILE).read_bytes() == before) == is_told


def test_a_standard_is_not_written_beside_a_drink_that_nobody_judged(tmp_path: Path) -> None:
    """A drink that came meanwhile was neither kept nor told of."""
    write(tmp_path)
    loaded = load(tmp_path)
    edit = edit_standard(tmp_path, loaded, loaded.specs.syrups["raspberry-syrup"], 52.0, "52 °Bx")
    write(tmp_path, {"drinks/late.yaml": "drink: Late\nmethod: stirred\npours:\n  - 20 ml raspberry syrup\n"})
    with pytest.raises(CannotError, match="changed meanwhile"):
        write_edit(tmp_path, edit)


def test_two_new_drinks_of_one_id_are_not_both_written(tmp_path: Path) -> None:
    """In folders of their own their files had no name in common."""
    write(tmp_path, {"drinks/winter/berth.yaml": "drink: Berth\nmethod: stirred\npours:\n  - 50 ml gold rum\n"})
    loaded = load(tmp_path)
    one, other = (
        new_drink(tmp_path, loaded, loaded.specs.drinks[identity], [], "New One", TODAY)
        for identity in ("slipway-sour", "berth")
    )
    assert one.path != other.path
    write_edit(tmp_path, one)
    with pytest.raises(CannotError, match="changed meanwhile"):
        write_edit(tmp_path, other)
    assert [problem.code for problem in load(tmp_path).problems] == []


def test_one_writer_at_a_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path)
    monkeypatch.setattr(writing_module, "LOCK_SECONDS", 0.05)
    with FileLock(str(tmp_path / LOCK)), pytest.raises(CannotError, match="another command has been writing"):
        changed(tmp_path, "20 ml")


def test_permissions_and_links_stay(tmp_path: Path) -> None:
    folder, kept = write(tmp_path / "bar"), tmp_path / "kept.yaml"
    (folder / FILE).rename(kept)
    kept.chmod(0o664)
    (folder / FILE).symlink_to(kept)

    changed(folder, "20 ml")

    assert (folder / FILE).is_symlink()
    assert kept.stat().st_mode & 0o777 == 0o664
    assert "20 ml, of: raspberry" in kept.read_text(encoding="utf-8")


def test_a_shared_file_is_locked_as_its_own_bar_locks_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A house that has a file of another by a link waits for who writes there; it changed it in between."""
    theirs, ours = write(tmp_path / "theirs"), write(tmp_path / "ours")
    (ours / FILE).unlink()
    (ours / FILE).symlink_to(theirs / FILE)
    monkeypatch.setattr(writing_module, "LOCK_SECONDS", 0.05)
    with FileLock(str(theirs / LOCK)), pytest.raises(CannotError, match="another command has been writing"):
        changed(ours, "20 ml")
    changed(ours, "20 ml")
    assert "20 ml, of: raspberry" in (theirs / FILE).read_text(encoding="utf-8")


def test_a_hard_link_keeps_the_old_text_and_is_counted_before(tmp_path: Path) -> None:
    folder, kept = write(tmp_path / "bar"), tmp_path / "kept.yaml"
    os.link(folder / FILE, kept)
    before = kept.read_bytes()
    assert other_names(folder / FILE) == other_names(kept) == 1
    changed(folder, "20 ml")
    assert kept.read_bytes() == before != (folder / FILE).read_bytes()
    assert other_names(folder / FILE) == other_names(tmp_path / "nothing") == other_names(folder) == 0


def test_a_file_nobody_may_write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path)
    monkeypatch.setattr(os, "access", lambda *_: False)
    raw = (tmp_path / FILE).read_bytes()
    with pytest.raises(CannotError, match="cannot be written: Permission denied"):
        changed(tmp_path, "20 ml")
    assert (tmp_path / FILE).read_bytes() == raw


@pytest.mark.slow
@pytest.mark.parametrize("path", sorted(DEMO.glob("drinks/*.yaml")), ids=lambda path: path.stem)
def test_every_pour_of_the_demo_house_there_and_back(tmp_path: Path, path: Path) -> None:
    folder = tmp_path / "specs"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("drinks", "batches.yaml"))
    copy = folder / "drinks" / path.name
    copy.parent.mkdir()
    shutil.copyfile(path, copy)
    raw, text = copy.read_bytes(), copy.read_text(encoding="utf-8")
    loaded = load(folder)
    (identity,) = loaded.specs.drinks

    for index in range(len(loaded.specs.drinks[identity].pours)):
        drink = loaded.specs.drinks[identity]
        pour = drink.pours[index]
        there = edit_pour(folder, loaded, drink, pour, Quantity(17.25, "g"), "17.25 g")
        write_edit(folder, there)
        assert copy.read_bytes() != raw
        was = next(line for line in text.splitlines() if line not in there.new.splitlines())
        written = next(words for words in _writings(pour.amount) if words in was)
        drink = there.after.specs.drinks[identity]
        back = edit_pour(folder, there.after, drink, drink.pours[index], pour.amount, written)
        write_edit(folder, back)
        assert undated(copy.read_bytes()) == undated(unsigned(raw))
        loaded = back.after
    assert loaded.specs.drinks == load(folder).specs.drinks


def undated(raw: bytes) -> bytes:
    """A file without what every change raises."""
    return re.sub(rb"(?m)^(version|date): .*$", rb"\1:", raw)


def unsigned(raw: bytes) -> bytes:
    """A file without who changed it last: these changes name nobody."""
    return re.sub(rb"(?m)^by: .*\n", b"", raw)


def _writings(amount: Quantity) -> list[str]:
    """The ways an amount is written in the demo house."""
    return [RINSE] if amount.unit == RINSE else [format_quantity(amount), format_quantity(amount, glyphs=False)]


class Layout(NamedTuple):
    """A drink file as generated: its text, with <> around the amount that is to change, and what it pours."""

    text: str
    in_flow: bool


AMOUNTS = st.sampled_from(
    ["22.5 ml", "22.5ml", "3/4 oz", "1 1/2 oz", "1½ oz", "2 dashes", ".75 oz", "20\u00a0g", "3 fl. oz"]
)
COMMAS = st.sampled_from(["22,5 ml", "0,75 oz"])
NEW = st.sampled_from(["20 ml", "17,5 ml", "5/8 oz", "1 3/4 oz", "2½ oz", "3 barspoons", "31 g"])
REMARK = st.sampled_from(["", "  # ours, 22.5 ml", " #", "\n  # 22.5 ml raspberry syrup\n"])


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    style = draw(st.sampled_from(["plain", "'", '"', "flow group", "block group", "flow list", "all flow"]))
    in_flow = style in ("flow group", "flow list", "all flow")
    amount = draw(AMOUNTS if in_flow else AMOUNTS | COMMAS)
    of = draw(st.sampled_from([" ", " of ", "   ", "\u00a0"]))
    remark = draw(REMARK)
    value = f"<{amount}>{of}raspberry syrup"
    head = draw(st.sampled_from(["", "# 22.5 ml raspberry syrup\n", "---\n"]))
    name = draw(st.sampled_from(["Slip", '"Slip: 22.5 ml"', "'It''s 20 ml'", "燈台 😀"]))
    others = ["60 ml gold rum", "'10 ml lime juice' "]
    if style in ("'", '"'):
        value = f"{style}{value}{style}"
    elif style == "flow group":
        value = draw(
            st.sampled_from(["{pour: <A>, of: raspberry syrup}", "{of: raspberry syrup, fixed: yes, pour: <A>}"])
        )
        value = value.replace("A", amount)
    elif style == "block group":
        value = f"of: raspberry syrup\n    pour: <{amount}>"
    if style == "all flow":
        dated = "version: {version}, date: 2026-11-25"
        return Layout(f"{head}{{drink: {name}, method: shaken, pours: [{value}, 60 ml gold rum], {dated}}}\n", True)
    if style == "flow list":
        pours = f"pours: [60 ml gold rum,\n  {value}]{remark}\n"
    else:
        at = draw(st.integers(0, 2))
        lines = [*others[:at], value + remark.rstrip("\n"), *others[at:]]
        pours = "pours:\n" + "".join(f"  - {line}\n" for line in lines)
    rest = draw(st.sampled_from(["", "garnish: lime   # 22.5 ml\n", "notes: |\n  22.5 ml raspberry syrup\n"]))
    dated = "version: {version}\ndate: 2026-11-25\n"
    return Layout(f"{head}drink: {name}\nmethod: shaken{draw(REMARK)}\n{pours}{dated}{rest}", in_flow)


@settings(max_examples=examples(100), deadline=None)
@given(layouts(), NEW, st.sampled_from(["\n", "\r\n"]), st.booleans(), st.booleans())
def test_any_layout(layout: Layout, written: str, ends: str, has_mark: bool, ends_bare: bool) -> None:
    text = layout.text.replace("\n", ends).replace("{version}", "3")
    text = text.removesuffix(ends) if ends_bare else text
    mark = b"\xef\xbb\xbf" if has_mark else b""
    in_file = written.replace(",", ".") if layout.in_flow else written
    start, _, tail = text.partition("<")
    _, _, end = tail.partition(">")
    end = end.replace("version: 3", "version: 4")
    with tempfile.TemporaryDirectory() as name:
        folder = write(Path(name), {FILE: mark + text.replace("<", "").replace(">", "").encode()})
        (folder / "drinks/long/two.yaml").unlink()
        loaded = load(folder)
        (drink,) = loaded.specs.drinks.values()
        pour = next(each for each in drink.pours if each.of == "raspberry-syrup")

        write_edit(folder, edit_pour(folder, loaded, drink, pour, parse_quantity(written), written))

        assert (folder / FILE).read_bytes() == mark + f"{start}{in_file}{end}".encode()
        after = load(folder).specs.drinks[drink.id]
        amounts = [parse_quantity(written) if each is pour else each.amount for each in drink.pours]
        pours = [each.model_copy(update={"amount": now}) for each, now in zip(drink.pours, amounts, strict=True)]
        assert after == drink.model_copy(update={"pours": tuple(pours), "version": "4"})
