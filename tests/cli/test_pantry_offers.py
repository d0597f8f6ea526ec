"""The pantry is offered for what a house lacks: told by `check`, asked by `import`, never taken unasked."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.cli import unknown_names
from balancer.cli.commands import import_ as command
from tests.cli.runner import run

SHEET = """\
Drink,Ingredient,Amount,Method
Fog Signal,yuzu juice,20 ml,shaken
,triple sec,10 ml,
,lime,20 ml,
Low Water,gold rum,50 ml,shaken
,Zork,10 ml,
"""


@pytest.fixture
def bar(tmp_path: Path) -> Path:
    run("start", str(tmp_path / "bar"), specs=None)
    return tmp_path / "bar"


@pytest.fixture
def sheet(tmp_path: Path) -> str:
    path = tmp_path / "menu.csv"
    path.write_text(SHEET)
    return str(path)


def checked(bar: Path, pour: str) -> str:
    """The remedy for a drink with this pour."""
    (bar / "drinks" / "new.yaml").write_text(f"drink: Fog Signal\nmethod: shaken\npours:\n  - {pour}\n")
    done = run("check", "--json", specs=bar)
    return str(done.data["problems"][0]["remedy"])


@pytest.mark.parametrize(
    ("pour", "remedy"),
    [
        ("20 ml yuzu juice", 'the pantry has it: balancer start {bar} --pantry "yuzu juice"'),
        ("{pour: 20 ml, of: yuzu juice}", 'the pantry has it: balancer start {bar} --pantry "yuzu juice"'),
        ("20 ml pisco", "the pantry has it: balancer start {bar} --pantry pisco"),
        ("10 ml Triple Sec", 'the pantry has it as "orange liqueur": balancer start {bar} --pantry "orange liqueur"'),
        ("20 ml mezcall", 'did you mean "mezcal"? The pantry has it: balancer start {bar} --pantry mezcal'),
        ("20 ml honey", "the pantry has it: balancer start {bar} --pantry honey"),
        ("9 ml ginger", 'did you mean "ginger juice"? The pantry has it: balancer start {bar} --pantry "ginger juice"'),
        ("30 g pineapple", "the pantry has it: balancer start {bar} --pantry pineapple"),
        ("{pour: 30 g, of: pineapple}", "the pantry has it: balancer start {bar} --pantry pineapple"),
        ("20 ml lime joice", 'did you mean "lime juice"?'),
        ("20 ml Zork", "add it to ingredients/ or syrups/, or mend the name"),
    ],
)  # fmt: skip
def test_check_says_where_it_is_to_be_had(bar: Path, pour: str, remedy: str) -> None:
    """The house itself has white rum, lime juice and granulated sugar: what it has comes first."""
    assert checked(bar, pour) == remedy.format(bar=bar)


def test_a_short_name_may_be_one_of_the_pantry(bar: Path) -> None:
    """The house has ginger juice, and gin is another thing."""
    assert run("start", str(bar), "--pantry", "ginger juice", specs=None).code == 0
    told = checked(bar, "50 ml gin")
    assert told.startswith('write it in full: "ginger juice"; if it is another thing, the pantry has it: ')
    assert told.endswith(f"balancer start {bar} --pantry gin")
    assert run("start", str(bar), "--pantry", "gin", specs=None).code == 0
    assert run("check", specs=bar).code == 0


def test_a_recipe_is_offered_it_too(bar: Path) -> None:
    """Almonds by weight are what the pantry has; water needs no entry."""
    recipe = "[500 g almonds, 1000 g granulated sugar, 1000 g water]"
    (bar / "syrups" / "almond.yaml").write_text(f"syrup: almond syrup\nstandard: 50 °Bx\nrecipe: {recipe}\n")
    problems = run("check", "--json", specs=bar).data["problems"]
    assert [one["remedy"] for one in problems] == [f"the pantry has it: balancer start {bar} --pantry almonds"]
    assert run("start", str(bar), "--pantry", "almonds", specs=None).code == 0
    told = [one["code"] for one in run("check", "--json", specs=bar).data["problems"]]
    assert "unknown-name" not in told


def test_the_line_that_is_offered_mends_it(bar: Path) -> None:
    assert checked(bar, "20 ml yuzu juice").endswith('--pantry "yuzu juice"')
    assert run("start", str(bar), "--pantry", "yuzu juice", specs=None).code == 0
    assert run("check", specs=bar).code == 0


def test_a_folder_with_a_blank_in_its_name_is_quoted(tmp_path: Path) -> None:
    run("start", str(tmp_path / "my bar"), specs=None)
    assert checked(tmp_path / "my bar", "20 ml pisco").endswith(f'balancer start "{tmp_path}/my bar" --pantry pisco')


def test_a_dry_run_offers_and_takes_nothing(bar: Path, sheet: str) -> None:
    done = run("import", sheet, specs=bar)
    assert "pantry has yuzu juice, orange liqueur, aged rum: taken with --pantry" in " ".join(done.out.split())
    assert "lime (did you mean lime juice?)" in " ".join(done.out.split())
    data = run("import", sheet, "--json", specs=bar).data
    assert {one["name"]: one["pantry"] for one in data["ingredients"]} == {
        "yuzu juice": "yuzu juice",
        "triple sec": "orange liqueur",
        "lime": None,
        "gold rum": "aged rum",
        "Zork": None,
    }
    assert data["from_pantry"] == []
    assert sorted(path.name for path in (bar / "ingredients").iterdir()) == ["starter.yaml"]


def test_writing_where_nobody_can_be_asked_takes_nothing(bar: Path, sheet: str) -> None:
    done = run("import", sheet, "--write", specs=bar)
    assert (done.code, done.first) == (0, "menu.csv: 2 drinks written, 5 ingredients new")
    assert sorted(path.name for path in (bar / "ingredients").iterdir()) == ["imported.yaml", "starter.yaml"]


def test_all_of_it_when_it_is_said(bar: Path, sheet: str) -> None:
    done = run("import", sheet, "--write", "--pantry", "--json", specs=bar)
    assert done.data["from_pantry"] == ["yuzu juice", "orange liqueur", "aged rum"]
    assert [one["name"] for one in done.data["ingredients"]] == ["lime", "Zork"]
    assert sorted(path.name for path in (bar / "ingredients").iterdir()) == [
        "imported.yaml", "juices.yaml", "liqueurs.yaml", "spirits.yaml", "starter.yaml",
    ]  # fmt: skip
    assert run("check", specs=bar).code == 0
    # 10 ml of 100 g/l, the least the law asks of a liqueur
    assert run("totals", "fog signal", "--json", specs=bar).data["mix"]["sugar_g"] == pytest.approx(1.0)


def test_somebody_at_a_terminal_is_asked_about_each(bar: Path, sheet: str, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    said = {"yuzu juice": "", "triple sec": "1", "lime": "", "gold rum": "", "Zork": ""}

    def say(question: str, *, asks: bool = False) -> str | None:
        assert asks
        asked.append(question)
        return said[question.split('"')[1]]

    monkeypatch.setattr(command, "is_terminal", lambda: True)
    monkeypatch.setattr(command, "ask", lambda _: False)
    monkeypatch.setattr(unknown_names, "say", say)
    done = run("import", sheet, "--write", specs=bar)
    assert [question.split('"')[1] for question in asked] == [*said]
    assert "  1 orange liqueur (pantry)\n" in asked[1]
    assert done.first == "menu.csv: 2 drinks written, 4 ingredients new, 1 out of the pantry"
    assert "out of the pantry orange liqueur; ABV unknown until you read the label" in " ".join(done.out.split())
    stubs = (bar / "ingredients" / "imported.yaml").read_text()
    assert "ingredient: yuzu juice" in stubs
    assert "triple sec" not in stubs
    assert run("check", specs=bar).code == 0


def test_after_somebody_was_asked_the_answer_is_told(bar: Path, sheet: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Enter leaves a name new: it was told that one would be asked, by whom one had been asked. "stop" asks no more."""
    answers = iter(["", "", "stop"])
    monkeypatch.setattr(command, "is_terminal", lambda: True)
    monkeypatch.setattr(command, "ask", lambda _: True)
    monkeypatch.setattr(unknown_names, "say", lambda _, **__: next(answers))
    told = " ".join(run("import", sheet, specs=bar).out.split())
    new = "yuzu juice, orange liqueur: new as it is, by your answer or map; --pantry takes it"
    assert f"pantry has {new}" in told
    assert "pantry has aged rum: taken with --pantry, or you are asked at a terminal" in told
    monkeypatch.setattr(command, "is_terminal", lambda: False)
    assert f"pantry has {new}" in " ".join(run("import", sheet, specs=bar).out.split()), "the map keeps it"
    done = run("import", sheet, "--pantry", "--json", specs=bar)
    assert done.data["from_pantry"] == ["yuzu juice", "orange liqueur", "aged rum"]


def test_faults_alone_take_nothing_out_of_the_pantry(bar: Path, tmp_path: Path) -> None:
    path = tmp_path / "faulty.csv"
    path.write_text("Drink,Ingredient,Amount,Method\nFog Signal,yuzu juice,some,shaken\n")
    done = run("import", str(path), "--write", "--pantry", "--json", specs=bar)
    assert (done.code, done.data["from_pantry"], done.data["files"]) == (1, [], [])
    assert [path.name for path in (bar / "ingredients").iterdir()] == ["starter.yaml"]


def test_a_house_that_lacks_nothing_reads_no_pantry(bar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def read() -> None:
        raise AssertionError("the pantry was read")

    monkeypatch.setattr("balancer.files.house.pantry.pantry", read)
    assert run("check", specs=bar).code == 0
    assert run("totals", "first sour", specs=bar).code == 0
    with pytest.raises(AssertionError, match="the pantry was read"):
        checked(bar, "20 ml pisco")


@pytest.mark.parametrize("taken", ["amaro", "bitters", "sweet vermouth"])
def test_one_of_several_unknown_names_is_given(bar: Path, taken: str) -> None:
    """What is still unknown is given another hint when something like it is there; that is no new fault."""
    pours = "[30 ml amaro, 30 ml sweet vermouth, 2 dashes bitters]"
    (bar / "drinks" / "new.yaml").write_text(f"drink: Fog Signal\nmethod: stirred\npours: {pours}\n")
    assert "--pantry amaro" in run("check", specs=bar).out
    done = run("start", str(bar), "--pantry", taken, specs=None)
    assert done.code == 0, done.err
    if taken != "bitters":  # a group, whose entries have names of their own
        assert f'called "{taken}"' not in run("check", specs=bar).out
