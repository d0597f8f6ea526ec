"""`fits` as a person types it."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest

from balancer.cli.commands import fits as fits_module
from balancer.cli.commands.fits import Progress
from balancer.files.house.demo import demo_folder
from balancer.output.words.numbers import width
from tests.cli.runner import copy_of_house, edited_house, run


class Terminal(io.StringIO):
    """A stream that a person looks at."""

    def isatty(self) -> bool:
        return True


def rows(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file))


def test_the_answer_is_the_first_line() -> None:
    """Plain is berry but for 0.25 g of acid; rich would be 15 ml, which is less liquid too."""
    done = run("fits", "anchor")

    assert (done.code, done.err) == (0, "")
    assert done.first == "Anchor Sour for the spec, berry syrup replaced by: 22.5 ml plain syrup, the"
    assert "15 ml rich syrup" in done.out
    assert max(map(width, done.out.splitlines())) <= 80


def test_json_is_the_exact_pour_and_the_one_of_the_jigger() -> None:
    """22.5 ml at 0.6175 g/ml over 0.6148 is 22.6 ml of plain, 15.7 of rich."""
    data = run("fits", "anchor", "--out", "berry", "--json").data

    assert (data["drink"], data["name"], data["out"]) == ("anchor-sour", "Anchor Sour", "berry-syrup")
    found = {fit["id"]: fit for fit in data["fits"]}
    assert "berry-syrup" not in found
    assert found["rich-syrup"]["exact_ml"] == pytest.approx(15.7, abs=0.02)
    assert found["rich-syrup"]["poured_ml"] == 15.0
    assert found["white-sugar"]["poured_ml"] is None
    assert found["white-sugar"]["poured_g"] == 14.0  # 13.9 g
    assert set(found["rich-syrup"]["moved_exact"]) == {
        "sugar_percent",
        "acid_percent",
        "volume_percent",
        "mix_volume_percent",
        "at_most",
        "abv_points",
    }
    harmless = [fit for fit in data["fits"] if not (fit["allergens"]["gained"] or fit["allergens"]["unknown"])]
    ranks = [(*fit["likeness"].values(), fit["effort"]) for fit in harmless]
    assert ranks == sorted(ranks)
    assert list(harmless[0]["likeness"]) == ["body", "unlike", "other_sugars", "has_caution"]


def test_allergens_gained_are_last_and_said(tmp_path: Path) -> None:
    old = "  standard: 66.7 °Bx\n  flavour: none\n  allergens: []"
    specs = edited_house(tmp_path, "syrups/all.yaml", old, old.replace("[]", "[tree nuts]"))
    done = run("fits", "anchor", "--json", specs=specs)

    last = done.data["fits"][-1]
    assert (last["id"], last["allergens"]["gained"]) == ("rich-syrup", ["tree nuts"])
    assert "allergen gained: tree nuts" in run("fits", "anchor", specs=specs).out


def test_the_whole_menu_and_its_table(tmp_path: Path) -> None:
    path = tmp_path / "fits.csv"
    done = run("fits", "--all", "--out", "berry", "--csv", str(path))

    assert (done.code, done.err) == (0, "")
    assert done.first == "for the spec: berry syrup replaced by, in 3 drinks, the closest matches:"
    assert max(map(width, done.out.splitlines())) <= 80
    head, *drinks = rows(path)
    assert head[:3] == ["drink", "out", "written"]
    assert [line[0] for line in drinks] == ["Anchor Sour", "Breakwater Fizz", "Bollard"]
    assert all(len(line) == len(head) for line in drinks)
    anchor = dict(zip(head, drinks[0], strict=True))
    assert (float(anchor["written"]), float(anchor["rich syrup"])) == (22.5, 15.0)
    assert (anchor["white sugar"], anchor["berry syrup"]) == ("14 g", "")


def test_a_name_that_is_a_formula_is_text_in_the_table(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "drinks/sours.yaml", "- drink: Anchor Sour", '- drink: "=Anchor Sour"')
    path = tmp_path / "fits.csv"

    assert run("fits", "--all", "--out", "berry", "--csv", str(path), specs=specs).code == 0
    assert rows(path)[1][0] == "'=Anchor Sour"


def test_a_drink_without_an_answer_has_its_reason_and_exit_code(tmp_path: Path) -> None:
    path = tmp_path / "fits.csv"
    done = run("fits", "--all", "--out", "plain", "--csv", str(path))

    assert done.code == 1
    (foam,) = [line for line in rows(path) if line[0] == "Foam Line"]
    assert foam[3] == "the pour of plain syrup in Foam Line is fixed"


def test_a_table_that_cannot_be_written_leaves_no_half_of_it(tmp_path: Path) -> None:
    done = run("fits", "--all", "--out", "berry", "--csv", str(tmp_path / "nowhere" / "fits.csv"))

    assert done.code == 1
    assert "cannot be written" in done.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("fits",), 2),
        (("fits", "--all"), 2),
        (("fits", "anchor", "--all", "--csv", "x.csv"), 2),
        (("fits", "anchor", "--csv", "x.csv"), 2),
        (("fits", "nonsuch"), 2),
        (("fits", "anchor", "--out", "plain"), 1),
        (("fits", "--all", "--out", "honey"), 1),
    ],
)
def test_what_cannot_be_asked(words: tuple[str, ...], code: int, tmp_path: Path) -> None:
    done = run(*words, specs=copy_of_house(tmp_path))

    assert done.code == code
    assert done.err


def test_progress_is_for_a_person_who_waits(monkeypatch: pytest.MonkeyPatch) -> None:
    moments = iter([0.0, 0.5, 1.5, 1.5, 1.6])
    monkeypatch.setattr(fits_module, "monotonic", lambda: next(moments))
    stream = Terminal()
    progress = Progress("drinks", 3, stream)
    progress.step()
    assert stream.getvalue() == ""
    progress.step()
    assert stream.getvalue() == "\r2 of 3 drinks"
    progress.step()
    progress.end()
    assert stream.getvalue() == "\r2 of 3 drinks\r             \r"


def test_progress_is_not_for_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fits_module, "QUIET_S", -1.0)
    stream = io.StringIO()
    progress = Progress("drinks", 1, stream)
    progress.step()
    progress.end()

    assert stream.getvalue() == ""


def test_a_house_with_nothing_else_to_try_says_so(tmp_path: Path) -> None:
    """Its files are well, so check is not where to look."""
    for name, text in {
        "house.yaml": "format: 1\nhouse: Bare Shelf\nounce: 30 ml\n",
        "ingredients/all.yaml": "- {ingredient: rye, abv: 45 %}\n"
        "- {ingredient: fine sugar, kind: sugar, sugar: 1000 g/kg}\n"
        "- {ingredient: cane sugar, kind: sugar, sugar: 990 g/kg}\n",
        "drinks/back.yaml": "drink: Back Step\nmethod: stirred\npours: [60 ml rye, 5 g fine sugar]\n",
    }.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert run("check", specs=tmp_path).code == 0
    done = run("fits", "back", specs=tmp_path)
    assert (done.code, done.first) == (1, "Back Step for the spec, fine sugar replaced by: nothing to try")
    told = " ".join(done.out.split())
    assert "the house has no other syrup, and its drinks pour no other sweetener" in told
    assert "balancer check" not in told
    assert run("swap", "back", "--out", "fine", "--in", "cane", specs=tmp_path).code == 0


def test_what_is_asked_for_comes_first_with_its_place() -> None:
    """Before, the syrup that was asked about stood thirteenth, unseen without --all."""
    done = run("fits", "jetty", "--in", "50 °Bx, acid 9 g/kg", specs=demo_folder())

    assert "syrup of 50 °Bx" in done.first + done.out.splitlines()[1]
    assert re.search(r"closeness \d+ of \d+|the closest match", done.out)
    assert "50 °Bx" in next(line for line in done.out.splitlines() if re.match(r"  \d", line))


def test_the_figures_of_a_row_are_of_its_pour_as_swap_says() -> None:
    """Before, the exact pour's −6 % stood beside the jigger's 22.5 ml, of which swap said −7 %."""
    fits = run("fits", "slipway", "--json", specs=demo_folder()).data["fits"]
    for fit in fits:
        into = fit["id"]
        moved = run("swap", "slipway", "--out", "raspberry", "--in", into, "--json", specs=demo_folder()).data["moved"]
        for key in ("sugar_percent", "acid_percent", "abv_points", "volume_percent"):
            assert fit["moved"][key] == (moved[key] if moved[key] is None else pytest.approx(moved[key], abs=1e-9)), (
                into
            )
