"""Who did it, a remark, a name: one limit for each, told before anything is logged or written, at every door."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from balancer.models.lengths import MOST
from tests.cli.runner import CHECKOUT, Run, copy_of_house, run

LOGGING: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = (
    (("batch", "add", "raspberry", "54"), ("by", "note")),
    (("batch", "open", "RAS-2"), ("by", "note")),
    (("batch", "empty", "RAS-1"), ("by", "note")),
    (("batch", "discard", "RAS-1"), ("by", "note")),
    (("batch", "reading", "RAS-1", "54"), ("by", "note")),
    (("batch", "correct", "RAS-1", "--brix", "50", "--mass", "1kg"), ("by", "note")),
    (("batch", "combine", "RAS-1", "RAS-2"), ("by", "note")),
    (("batch", "undo"), ("by", "note")),
    (("measure", "54", "--batch", "RAS-1", "--log"), ("by",)),
)
WRITING: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = (
    (("set", "slipway", "raspberry", "20ml", "--yes"), ("by", "as")),
    (("adjust", "slipway", "--sugar=-10%", "--write", "--yes"), ("by", "as")),
    (("swap", "slipway", "--out", "raspberry", "--in", "honey-syrup", "--write", "--yes"), ("by", "as")),
)


def house(folder: Path) -> Path:
    specs = Path(shutil.copytree(CHECKOUT / "specs", folder / "specs"))
    at = '"at": "2026-11-25T1{}:00:00+01:00"'
    lines = (
        f'{{"batch": "RAS-1", "syrup": "raspberry-syrup", "event": "made", "brix": 54, "mass": 900, {at.format(0)}}}',
        f'{{"batch": "RAS-1", "event": "open", {at.format(1)}}}',
        f'{{"batch": "RAS-2", "syrup": "raspberry-syrup", "event": "made", "brix": 50, "mass": 900, {at.format(2)}}}',
    )
    (specs / "batches.yaml").write_text("".join(f"- {line}\n" for line in lines), encoding="utf-8")
    return specs


def everything(specs: Path) -> dict[str, bytes]:
    found = (path for path in specs.rglob("*") if path.is_file() and not path.name.endswith(".lock"))
    return {str(path.relative_to(specs)): path.read_bytes() for path in found}


def asked(specs: Path, words: tuple[str, ...], option: str, value: str) -> Run:
    words = tuple(word for word in words if word != "--write") if option == "as" else words
    return run(*words, f"--{option}", value, specs=specs, env={"BALANCER_NOW": "2026-11-25T18:30+01:00"})


@pytest.mark.parametrize(
    ("words", "option"),
    [(words, option) for words, options in (*LOGGING, *WRITING) for option in options],
    ids=lambda part: part if isinstance(part, str) else " ".join(part),
)
def test_what_is_too_long_is_told_and_nothing_is_written(tmp_path: Path, words: tuple[str, ...], option: str) -> None:
    """10,000 letters of --by went into the file of a drink, and a remark of 1,000 into the log."""
    specs = house(tmp_path)
    most = MOST["name" if option == "as" else option]  # type: ignore[index]
    before = everything(specs)
    for letters in (most + 1, 10_000):
        done = asked(specs, words, option, "x" * letters)
        assert done.code == 2
        assert done.err == f'--{option}: "{"x" * 40}…" goes on for {letters:,} letters\n  write at most {most}\n'
        assert everything(specs) == before


@pytest.mark.parametrize(("words", "options"), [*LOGGING, *WRITING], ids=" ".join)
def test_what_is_just_long_enough_is_taken(tmp_path: Path, words: tuple[str, ...], options: tuple[str, ...]) -> None:
    for option in options:
        specs = house(tmp_path / option)
        text = "x" * MOST["name" if option == "as" else option]  # type: ignore[index]
        before = everything(specs)
        done = asked(specs, words, option, text)
        assert done.code == 0, done.err
        after = everything(specs)
        assert any(text.encode() in after[path] for path in after if after[path] != before.get(path))


@pytest.mark.parametrize("key", ["drink", "id", "family"])
def test_a_name_in_a_file_has_the_same_limit(tmp_path: Path, key: str) -> None:
    """What is no name may be as long as it likes."""
    text = {"drink": "Long", "id": "long", "family": "sour"}
    for letters, fits in ((300, True), (301, key == "family")):
        lines = "".join(f"{each}: {'x' * letters if each == key else said}\n" for each, said in text.items())
        specs = copy_of_house(tmp_path / str(letters), drinks__long=f"{lines}method: shaken\npours:\n  - 60 ml gin\n")
        done = run("check", specs=specs)
        told = f'long.yaml:{list(text).index(key) + 1}:{len(key) + 3}: "{"x" * 40}…" goes on for 301 letters'
        assert (told in done.out + done.err) is not fits


@pytest.mark.parametrize("name", ["燈台守" * 90, "x" * 290, "é" * 290])
def test_a_new_drink_of_a_long_name_has_a_file_of_a_short_one(tmp_path: Path, name: str) -> None:
    """A name of a file has at most 255 bytes, of which a sign may take four."""
    specs = house(tmp_path)
    before = everything(specs)
    done = asked(specs, ("set", "slipway", "raspberry", "20ml", "--yes"), "as", name)
    assert done.code == 0, done.err
    (new,) = (path for path in everything(specs) if path not in before)
    assert 100 < len(Path(new).name.encode()) <= 210
    assert run("totals", name, "--json", specs=specs).data["name"] == name
    again = asked(specs, ("set", "slipway", "raspberry", "20ml", "--yes"), "as", f"{name}a")
    assert (again.code, "is there already" in again.err) == (1, True)


@pytest.mark.parametrize("layout", ["rows", "blocks"])
def test_an_endless_name_in_a_sheet_is_told_once(tmp_path: Path, layout: str) -> None:
    name = "L" + 330 * "o"
    text = f"Drink,Ingredient,Amount,Method\n{name},gin,50 ml,stir\n"
    text = text if layout == "rows" else f"{name}\n50 ml gin\nMethod: stir\n\nOther\n50 ml gin\nMethod: stir\n"
    sheet = tmp_path / "menu.csv"
    sheet.write_text(text, encoding="utf-8")
    told = [problem["code"] for problem in run("import", str(sheet), "--json").data["problems"]]
    assert told.count("import-too-long") == 1
    assert "too-long" not in told


def test_what_is_typed_for_an_import_has_limits_too(tmp_path: Path) -> None:
    """`--method` of 10,000 letters was written into every drink, and `import ""` failed."""
    sheet = tmp_path / "menu.csv"
    sheet.write_text("Drink,Ingredient,Amount\nA,gin,50 ml\n", encoding="utf-8")
    assert "--method" in (done := run("import", str(sheet), "--method", "x" * 301)).err
    assert (done.code, run("import", "").code, run("import", "/").code) == (2, 2, 2)
