"""`written for` added in the files of drinks, the version raised; nothing else changes, each drink stays what it is."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.engine.swaps.kept_drinks import kept_drinks
from balancer.errors import CannotError
from balancer.files.house.edit import edit_standard
from balancer.files.house.keep_drinks import keep_drinks
from balancer.files.house.load import load
from tests.files.folders import SOUND, write

TODAY = date(2026, 11, 25)
SYRUP = SOUND["syrups/raspberry-syrup.yaml"]


def kept(folder: Path) -> dict[str, str]:
    """The texts of the files of drinks that change when raspberry syrup goes to 52 °Bx, by their names."""
    before = load(folder)
    assert before.problems == ()
    bar, syrup = Bar(before.specs), before.specs.syrups["raspberry-syrup"]
    standard = edit_standard(folder, before, syrup, 52.0, "52 °Bx")
    found = kept_drinks(bar, syrup, 52.0)
    edits, after = keep_drinks(folder, before, standard, syrup, found.drinks, TODAY)
    assert after.specs.syrups["raspberry-syrup"].standard == 52.0
    new = Bar(after.specs)
    for drink in before.specs.drinks.values():
        was, now = totals(bar, drink), totals(new, after.specs.drinks[drink.id])
        assert now.mix.grams == pytest.approx(was.mix.grams), "the drink as designed is what it was"
    return {edit.path.name: edit.new for edit in edits}


SHAPES = (
    (
        "drink: New  # ours\nmethod: shaken\n# by Runa\npours:\n  - 22.5 ml raspberry syrup  # not less\n",
        (
            "drink: New  # ours\nmethod: shaken\n# by Runa\nwritten for: {raspberry syrup: 50 °Bx}\npours:\n"
            "  - 22.5 ml raspberry syrup  # not less\nversion: 2\ndate: 2026-11-25\n"
        ),
    ),
    (
        "- drink: New\n  pours: [22.5 ml raspberry syrup]\n  method: shaken",
        (
            "- drink: New\n  written for: {raspberry syrup: 50 °Bx}\n  pours: [22.5 ml raspberry syrup]\n"
            "  method: shaken\n  version: 2\n  date: 2026-11-25"
        ),
    ),
    (
        "- pours: 22.5 ml raspberry syrup\n  drink: New\n  method: shaken\n",
        (
            "- pours: 22.5 ml raspberry syrup\n  written for: {raspberry syrup: 50 °Bx}\n  drink: New\n"
            "  method: shaken\n  version: 2\n  date: 2026-11-25\n"
        ),
    ),
    (
        "drink: New\r\nmethod: shaken\r\npours:\r\n- 22.5 ml raspberry syrup\r\n",
        (
            "drink: New\r\nmethod: shaken\r\nwritten for: {raspberry syrup: 50 °Bx}\r\npours:\r\n"
            "- 22.5 ml raspberry syrup\r\nversion: 2\r\ndate: 2026-11-25\r\n"
        ),
    ),
    (
        "{drink: New, method: shaken, pours: [22.5 ml raspberry syrup]}\n",
        (
            "{drink: New, method: shaken, written for: {raspberry syrup: 50 °Bx}, pours: [22.5 ml raspberry syrup], "
            "version: 2, date: 2026-11-25}\n"
        ),
    ),
    (
        '{"drink": "New", "method": "shaken", "pours": ["22.5 ml raspberry syrup"]}',
        (
            '{"drink": "New", "method": "shaken", "written for": {"raspberry syrup": "50 °Bx"}, '
            '"pours": ["22.5 ml raspberry syrup"], "version": "2", "date": "2026-11-25"}'
        ),
    ),
    (
        (
            "drink: New\nmethod: shaken\npours: [22.5 ml raspberry syrup, 10 ml simple syrup]\n"
            "written for: { simple syrup: 49 °Bx }  # of the old book\n"
        ),
        (
            "drink: New\nmethod: shaken\npours: [22.5 ml raspberry syrup, 10 ml simple syrup]\n"
            "written for: { simple syrup: 49 °Bx, raspberry syrup: 50 °Bx }  # of the old book\n"
            "version: 2\ndate: 2026-11-25\n"
        ),
    ),
    (
        (
            "drink: New\nmethod: shaken\npours: [22.5 ml raspberry syrup, 10 ml simple syrup]\n"
            "written for:  # of the old book\n  simple syrup: 49 °Bx\nglass: coupe\n"
        ),
        (
            "drink: New\nmethod: shaken\npours: [22.5 ml raspberry syrup, 10 ml simple syrup]\n"
            "written for:  # of the old book\n  raspberry syrup: 50 °Bx\n  simple syrup: 49 °Bx\nglass: coupe\n"
            "version: 2\ndate: 2026-11-25\n"
        ),
    ),
    (
        "drink: New\nmethod: shaken\nwritten for: {}\npours: [22.5 ml raspberry syrup]\n",
        (
            "drink: New\nmethod: shaken\nwritten for: {raspberry syrup: 50 °Bx}\npours: [22.5 ml raspberry syrup]\n"
            "version: 2\ndate: 2026-11-25\n"
        ),
    ),
    (
        (
            'version: "1.9"  # of the menu\ndrink: New\nmethod: shaken\ndate: 2025-03-01\n'
            "pours: [22.5 ml raspberry syrup]\n"
        ),
        (
            'version: "1.10"  # of the menu\ndrink: New\nmethod: shaken\ndate: 2026-11-25\n'
            "written for: {raspberry syrup: 50 °Bx}\npours: [22.5 ml raspberry syrup]\n"
        ),
    ),
    (
        "{pours: [22.5 ml raspberry syrup], version: 3, drink: New, method: shaken}",
        (
            "{written for: {raspberry syrup: 50 °Bx}, pours: [22.5 ml raspberry syrup], version: 4, drink: New, "
            "method: shaken, date: 2026-11-25}"
        ),
    ),
)


@pytest.mark.parametrize(("text", "then"), SHAPES)
def test_only_the_strength_and_the_next_version_come(tmp_path: Path, text: str, then: str) -> None:
    write(tmp_path, {**SOUND, "drinks/new.yaml": text.encode()})
    assert kept(tmp_path)["new.yaml"].encode() == then.encode()


def test_several_drinks_of_one_file(tmp_path: Path) -> None:
    """And what does not pour it, or says already what it is written for, stays as it is."""
    text = "".join(
        f"- drink: New {number}\n  method: shaken\n  pours: [22.5 ml {name}]\n{said}"
        for number, name, said in (
            (1, "raspberry syrup", ""),
            (2, "simple syrup", ""),
            (3, "raspberry syrup", "  written for: {raspberry syrup: 48 °Bx}\n"),
            (4, "raspberry syrup", ""),
        )
    )
    write(tmp_path, {**SOUND, "drinks/new.yaml": text})
    line = "  written for: {raspberry syrup: 50 °Bx}\n"
    then = text
    for number in (1, 4):
        head = f"- drink: New {number}\n  method: shaken\n"
        pours = "  pours: [22.5 ml raspberry syrup]\n"
        then = then.replace(head + pours, head + line + pours + "  version: 2\n  date: 2026-11-25\n")
    found = kept(tmp_path)
    assert found["new.yaml"] == then
    assert set(found) == {"new.yaml", "slipway-sour.yaml"}


def test_a_name_that_yaml_would_misread_is_quoted(tmp_path: Path) -> None:
    syrup = SYRUP.replace("syrup: raspberry syrup", 'syrup: "raspberry syrup, old"\nid: raspberry-syrup', 1)
    write(tmp_path, {**SOUND, "syrups/raspberry-syrup.yaml": syrup})
    assert 'written for: {"raspberry syrup, old": 50 °Bx}\n' in kept(tmp_path)["slipway-sour.yaml"]


def test_what_has_no_room_for_a_line_is_refused(tmp_path: Path) -> None:
    """No key begins its line: where it should go is nothing to guess."""
    text = "- ? drink\n  : New\n  ? method\n  : shaken\n  ? pours\n  : [22.5 ml raspberry syrup]\n"
    write(tmp_path, {**SOUND, "drinks/new.yaml": text})
    with pytest.raises(CannotError, match="New cannot"):
        kept(tmp_path)
