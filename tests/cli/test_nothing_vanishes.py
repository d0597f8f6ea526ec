"""What cannot be read or followed is told, and no answer is given as if it were not there."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
PLAIN = "drink: {}\nmethod: shaken\npours:\n  - 60 ml gold rum\n  - 22.5 ml berry syrup\n"


def lost_menu(specs: Path, how: str) -> Path:
    """A house whose drinks are out of reach, and the path that is told for it."""
    drinks = specs / "drinks"
    drinks.rename(specs / "was")
    if how == "file":
        drinks.write_text("", encoding="utf-8")
    elif how == "nowhere":
        drinks.symlink_to(specs / "gone")
    else:
        drinks.mkdir()
        (drinks / "all").symlink_to("all")
        return drinks / "all"
    return drinks


@pytest.mark.parametrize("how", ["file", "nowhere", "circle"])
@pytest.mark.parametrize(
    "words",
    [
        ("rescale", "--syrup", "berry", "--brix", "54"),
        ("tonight",),
        ("check",),
        ("compare",),
        ("sheet", "allergens", "--out", "a.pdf"),
        ("sheet", "rail", "--out", "a.pdf"),
        ("export", "drinks", "--out", "a.csv"),
        ("cards", "--out", "a.pdf"),
        ("cards", "--changed", "--out", "a.pdf"),
    ],
)
def test_a_menu_out_of_reach_touches_the_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: str, words: tuple[str, ...]
) -> None:
    monkeypatch.chdir(tmp_path)
    specs = copy_of_house(tmp_path)
    path = lost_menu(specs, how)
    done = run(*words, specs=specs, env=NOW)
    assert done.code == 1
    assert f"{path}: this cannot be read" in (done.out if words == ("check",) else done.err)
    assert "all well" not in done.out
    assert not (tmp_path / "a.pdf").exists()


def test_no_card_is_called_out_of_date_when_its_folder_cannot_be_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    specs = copy_of_house(tmp_path, drinks__strong=PLAIN.format("One"), drinks__sours=PLAIN.format("Other"))
    assert run("cards", "--out", "a.pdf", specs=specs, env=NOW).code == 0
    (tmp_path / "more").mkdir()
    (specs / "drinks" / "strong.yaml").rename(tmp_path / "more" / "strong.yaml")
    (specs / "drinks" / "more").symlink_to(tmp_path / "more")
    moved = run("cards", "--changed", "--out", "b.pdf", "--json", specs=specs, env=NOW)
    assert (moved.code, moved.data["pull"]) == (0, [])
    (tmp_path / "more").rename(tmp_path / "elsewhere")
    lost = run("cards", "--changed", "--out", "b.pdf", "--json", specs=specs, env=NOW)
    assert (lost.code, lost.data["pull"]) == (1, [])
    assert [problem["code"] for problem in json.loads(lost.err)["problems"]] == ["link"]
    (specs / "drinks" / "more").unlink()
    gone = run("cards", "--changed", "--out", "b.pdf", "--json", specs=specs, env=NOW)
    assert (gone.code, [card["drink"] for card in gone.data["pull"]]) == (0, ["one"])


def test_a_sheet_says_what_it_may_lack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    specs = copy_of_house(tmp_path)
    (specs / "drinks" / "more").symlink_to("gone")
    for words in (("sheet", "allergens"), ("sheet", "rail")):
        done = run(*words, "--out", "a.pdf", "--json", specs=specs, env=NOW)
        assert done.code == 1
        assert f"whatever is in {specs}/drinks/more" in done.data["missing"]


def test_a_name_that_may_be_in_what_cannot_be_read(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    lost_menu(specs, "file")
    done = run("totals", "anchor", specs=specs)
    assert done.code == 2
    assert "what did not load is told by: balancer check" in done.err


def test_a_list_of_printed_cards_out_of_reach(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Taken as empty, every card would count as never printed, and none as out of date."""
    monkeypatch.chdir(tmp_path)
    specs = copy_of_house(tmp_path)
    (specs / "printed.json").symlink_to("gone.json")
    done = run("cards", "--changed", "--out", "a.pdf", specs=specs, env=NOW)
    assert done.code == 1
    assert "the list of printed cards cannot be read" in done.err


# The log

LOG = (
    '- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 54, "made": "2026-11-24", '
    '"at": "2026-11-24T12:00:00+00:00"}\n'
    '- {"batch": "BER-1", "event": "open", "at": "2026-11-24T13:00:00+00:00"}\n'
)
FROM_THE_LOG = [
    ("tonight",),
    ("tonight", "--date", "2026-11-20"),
    ("strips", "--out", "a.pdf"),
    ("labels", "--out", "a.pdf"),
    ("sheet", "prep", "--out", "a.pdf"),
    ("export", "batches", "--out", "a.csv"),
    ("compare", "--tonight"),
    ("fits", "anchor", "--tonight"),
    ("aim", "plain", "--for", "berry", "--tonight"),
    ("measure", "52", "--batch", "BER-1"),
    ("measure", "52", "--syrup", "berry", "--log"),
    ("correct", "--batch", "BER-1"),
    ("swap", "anchor", "--out", "berry"),
    ("bottle", "anchor", "--serves", "6", "--from", "BER-1"),
    ("batch", "list"),
    ("batch", "add", "berry", "--brix", "52"),
    ("batch", "open", "BER-1"),
    ("batch", "reading", "BER-1", "--brix", "52"),
    ("batch", "empty", "BER-1"),
    ("batch", "discard", "BER-1"),
    ("batch", "correct", "BER-1"),
    ("batch", "combine", "BER-1", "BER-2"),
    ("batch", "undo"),
]


@pytest.mark.parametrize("how", ["nowhere", "folder", "utf16"])
@pytest.mark.parametrize("words", FROM_THE_LOG, ids=" ".join)
def test_what_is_open_is_unknown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: str, words: tuple[str, ...]
) -> None:
    monkeypatch.chdir(tmp_path)
    specs = copy_of_house(tmp_path)
    path = specs / "batches.yaml"
    if how == "nowhere":
        path.symlink_to("gone.yaml")
    elif how == "folder":
        path.mkdir()
    else:
        path.write_bytes(LOG.encode("utf-16"))
    done = run(*words, specs=specs, env=NOW)
    assert (done.code, done.out) == (1, "")
    assert done.err.startswith(f"{path}: what is open is unknown: the batch log ")
    as_json = run(*words, "--json", specs=specs, env=NOW)
    assert as_json.code == 1
    (problem,) = as_json.data["problems"]
    assert problem["message"].startswith("what is open is unknown: ")
    assert not list(tmp_path.glob("a.*"))
    assert how != "utf16" or path.read_bytes() == LOG.encode("utf-16")
    assert not (specs / "gone.yaml").exists()


def test_check_tells_an_unreadable_log(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (specs / "batches.yaml").symlink_to("gone.yaml")
    done = run("check", specs=specs)
    assert done.code == 1
    assert "what is open is unknown" in done.out


def test_what_needs_no_log_is_answered_without(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (specs / "batches.yaml").symlink_to("gone.yaml")
    for words in (("totals", "anchor"), ("bottle", "anchor", "--serves", "6")):
        assert run(*words, specs=specs, env=NOW).code == 0
    bottled = run("bottle", "anchor", "--serves", "6", specs=specs, env=NOW).out
    assert "what is open is unknown: the batch log cannot be read" in " ".join(bottled.split())


# Clocks


def test_a_device_in_another_zone_is_heard(tmp_path: Path) -> None:
    """It is 18:00 here and tomorrow there; the batch is open all the same."""
    specs = copy_of_house(tmp_path)
    there = LOG.replace("2026-11-24T13:00:00+00:00", "2026-11-26T06:30:00+13:00")
    (specs / "batches.yaml").write_text(there, encoding="utf-8")
    done = run("tonight", "--json", specs=specs, env=NOW)
    assert (done.code, done.err) == (0, "")
    assert [batch["batch"] for batch in done.data["batches"]] == ["BER-1"]
    past = run("tonight", "--date", "2026-11-24", "--json", specs=specs, env=NOW)
    assert past.data["batches"] == []


def test_an_entry_from_the_future_counts_and_is_told(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    path = specs / "batches.yaml"
    path.write_text(LOG.replace("2026-11-24T13:00:00+00:00", "2026-11-26T13:00:00+00:00"), encoding="utf-8")
    for words in (("tonight",), ("batch", "list"), ("swap", "anchor", "--out", "berry")):
        done = run(*words, "--json", specs=specs, env=NOW)
        assert "future" in [problem["code"] for problem in json.loads(done.err)["problems"]], words
        assert f"{path}:2:" in run(*words, specs=specs, env=NOW).err
    tonight = run("tonight", "--json", specs=specs, env=NOW)
    assert (tonight.code, [batch["batch"] for batch in tonight.data["batches"]]) == (0, ["BER-1"])
    check = run("check", specs=specs, env=NOW)
    assert check.code == 1
    assert "is the clock of the device right" in check.out


def logged(specs: Path, *entries: dict[str, object]) -> None:
    """A log of some entries, a minute apart."""
    lines = [{"at": f"2026-11-25T12:{minute:02d}:00+00:00"} | entry for minute, entry in enumerate(entries)]
    (specs / "batches.yaml").write_text("".join(f"- {json.dumps(line)}\n" for line in lines), encoding="utf-8")


@pytest.mark.parametrize("state", ["open", "made"])
def test_a_batch_of_a_misspelt_syrup_is_told_at_its_line(tmp_path: Path, state: str) -> None:
    specs = copy_of_house(tmp_path)
    made: dict[str, object] = {"batch": "BER-1", "syrup": "bery-syrup", "event": "made", "brix": 54}
    opened: dict[str, object] = {"batch": "ber 1", "event": "open"}
    logged(specs, made, *([opened] if state == "open" else []))
    (told,) = run("check", "--json", specs=specs, env=NOW).data["problems"]
    line = (specs / "batches.yaml").read_text(encoding="utf-8").splitlines()[0]
    assert (told["path"], told["line"]) == (str(specs / "batches.yaml"), 1)
    assert line[told["column"] - 1 :].startswith("bery-syrup")
    assert '"bery-syrup"' in told["message"]
    assert told["remedy"] == 'did you mean "berry-syrup"?'
    tonight = run("tonight", specs=specs, env=NOW)
    assert tonight.code == 1
    assert ("BER-1 is left out" in tonight.out) == (state == "open")


def test_a_closed_batch_of_what_is_no_longer_in_the_files_is_no_problem(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    old: dict[str, object] = {"batch": "OLD-1", "syrup": "last summers syrup", "event": "made", "brix": 54}
    logged(specs, old, {"batch": "OLD-1", "event": "open"}, {"batch": "OLD-1", "event": "empty"})
    assert run("check", specs=specs, env=NOW).code == 0
    tonight = run("tonight", specs=specs, env=NOW)
    assert (tonight.code, "OLD-1" in tonight.out) == (0, False)


def test_an_open_batch_of_a_syrup_that_is_broken_is_told_as_left_out(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, syrups__broken="syrup: plum syrup\nstandard: 50 bananas\n")
    made: dict[str, object] = {"batch": "PLU-1", "syrup": "plum-syrup", "event": "made", "brix": 54}
    logged(specs, made, {"batch": "PLU-1", "event": "open"})
    problems = run("check", "--json", specs=specs, env=NOW).data["problems"]
    assert {problem["path"] for problem in problems} == {str(specs / "syrups" / "broken.yaml")}
    assert "PLU-1 is left out" in run("tonight", specs=specs, env=NOW).out


@pytest.mark.parametrize("words", [("tonight",), ("strips", "--out", "p.pdf"), ("labels", "--out", "p.pdf")])
@pytest.mark.parametrize(("pours", "touched"), [("22.5 ml berry syrup", True), ("22.5 ml lemon juice", False)])
def test_a_broken_drink_that_pours_an_open_syrup_is_missed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], pours: str, touched: bool
) -> None:
    monkeypatch.chdir(tmp_path)
    broken = f"drink: Lost Rope\nmethod: shaken\npours:\n  - 60 ml gold rum\n  - {pours}\nfoo: 1\n"
    specs = copy_of_house(tmp_path, drinks__broken=broken)
    made: dict[str, object] = {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 54}
    logged(specs, made, {"batch": "BER-1", "event": "open"})
    done = run(*words, specs=specs, env=NOW)
    assert (done.code, "Lost Rope" in done.out) == (int(touched), touched)
    assert "broken.yaml" in done.err


@pytest.mark.parametrize(
    ("text", "told"),
    [("", "is empty"), ("\n \n", "is empty"), ("# only this\n", "holds no entry"), ("[]\n", "holds no entry")],
)
def test_a_file_without_an_entry_is_told(tmp_path: Path, text: str, told: str) -> None:
    specs = copy_of_house(tmp_path, drinks__blank=text)
    done = run("check", "--json", specs=specs, env=NOW)
    (problem,) = done.data["problems"]
    assert (done.code, problem["path"]) == (1, str(specs / "drinks" / "blank.yaml"))
    assert told in problem["message"]
    assert "drink: NAME" in problem["remedy"]


def test_a_link_to_a_spec_whose_own_name_has_no_suffix_is_told(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (tmp_path / "r.yaml").write_text(PLAIN.format("Far Rope"), encoding="utf-8")
    (specs / "drinks" / "r").symlink_to(tmp_path / "r.yaml")
    (specs / "drinks" / "notes").symlink_to(tmp_path / "notes.txt")
    (tmp_path / "notes.txt").write_text("no spec", encoding="utf-8")
    (problem,) = run("check", "--json", specs=specs, env=NOW).data["problems"]
    assert (problem["code"], problem["path"]) == ("link", str(specs / "drinks" / "r"))


def test_no_card_is_printed_by_a_house_that_cannot_be_read(tmp_path: Path) -> None:
    """Every card was out of date by the usual values, and to be pulled."""
    specs = copy_of_house(tmp_path)
    run("cards", "--out", str(tmp_path / "c.pdf"), specs=specs)
    (specs / "house.yaml").unlink()
    (specs / "house.yaml").symlink_to(tmp_path / "nowhere")
    done = run("cards", "--changed", "--out", str(tmp_path / "d.pdf"), specs=specs)
    assert (done.code, done.out) == (1, "")
    assert "house.yaml: the file cannot be read" in done.err
    assert not (tmp_path / "d.pdf").exists()


def test_a_drink_left_out_for_a_misspelt_syrup_is_missed_where_that_syrup_is_poured(tmp_path: Path) -> None:
    """Most likely it pours the syrup it nearly names, so an answer about that syrup is not whole without it."""
    broken = "drink: Loose Plank\nmethod: shaken\npours:\n  - 60 ml cane rum\n  - 20 ml bery syrup\n"
    done = run("rescale", "--syrup", "berry", "--brix", "54", specs=copy_of_house(tmp_path, drinks__broken=broken))
    assert done.code == 1
