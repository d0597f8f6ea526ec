"""Names of files of more than 255 letters: told with the reason and what to do, and nothing is left."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.cli.runner import CHECKOUT, run

CLOCK = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
OUT: tuple[tuple[str, ...], ...] = (
    ("cards", "--out", "{}.svg"),
    ("labels", "--out", "{}.pdf"),
    ("strips", "--out", "{}.png"),
    ("sheet", "rail", "--out", "{}.svg"),
    ("sheet", "allergens", "--out", "{}.svg"),
    ("export", "drinks", "--out", "{}.csv"),
    ("start", "{}"),
    ("import", "{}.csv"),
    ("import", "menu.csv", "--map", "{}.yaml"),
    ("import", "menu.csv", "--save-map", "{}.yaml"),
    ("check", "{}"),
    ("tonight", "--specs", "{}"),
)


@pytest.mark.parametrize("as_json", [False, True], ids=["text", "json"])
@pytest.mark.parametrize("words", OUT, ids=" ".join)
@pytest.mark.parametrize("letters", ["x" * 300, "燈" * 90, "x/" * 2_500], ids=["x", "wide", "path"])
def test_a_name_no_file_has_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], letters: str, as_json: bool
) -> None:
    """A sign may take three bytes: 90 are 270."""
    monkeypatch.chdir(tmp_path)
    specs = Path(shutil.copytree(CHECKOUT / "specs", tmp_path / "specs"))
    Path("menu.csv").write_text("Drink,Ingredient,Amount,Method\nA,gin,50 ml,stir\n", encoding="utf-8")
    before = sorted(tmp_path.rglob("*"))
    named = None if words[0] in ("start", "check") or "--specs" in words else specs
    done = run(*[word.format(letters) for word in words], *["--json"] * as_json, specs=named, env=CLOCK)
    assert done.code in (1, 2)
    assert sorted(tmp_path.rglob("*")) == before
    if as_json:
        (problem,) = done.data["problems"]
        assert problem["message"]
        assert problem["remedy"]
    else:
        assert letters[:100] in done.err + done.out
        assert len(done.err + done.out) < 3_000
