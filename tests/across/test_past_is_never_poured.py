"""A batch past its last day of use is offered by no command: it is told as one to discard, or refused by name."""

from __future__ import annotations

import json
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import Any, Final, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from balancer.files.log.batch_log import FILE
from tests.across.houses import CLOCK, NIGHT, tried
from tests.cli.runner import Run, copy_of_house, run

pytestmark = pytest.mark.slow

OFFERS: Final[tuple[tuple[str, ...], ...]] = (
    ("tonight",),
    ("rescale", "--syrup", "berry", "--brix", "54"),
    ("standardise",),
    ("batch", "list"),
    ("batch", "add", "berry", "--brix", "54", "--open"),
    ("measure", "54", "--syrup", "berry", "--log"),
    ("swap", "dark pilot", "--out", "rich", "--in", "berry", "--tonight"),
    ("swap", "dark pilot", "--out", "rich"),
    ("swap", "anchor", "--out", "berry", "--in", "plain", "--tonight"),
    ("fits", "dark pilot", "--out", "rich", "--tonight"),
    ("aim", "plain", "--for", "berry", "--tonight"),
    ("compare", "--tonight"),
)
"""Commands that choose among batches themselves."""
PAGES: Final = (("strips", "--out"), ("labels", "--out"), ("sheet", "prep", "--out"))
"""The same, and slow: they set type."""
REFUSE: Final[tuple[tuple[str, ...], ...]] = (
    ("batch", "open", "{past}"),
    ("batch", "correct", "{past}"),
    ("batch", "correct", "{past}", "--brix", "50"),
    ("batch", "combine", "{past}", "{other}"),
    ("batch", "combine", "{other}", "{past}"),
    ("correct", "--batch", "{past}"),
    ("bottle", "anchor sour", "--serves", "2", "--from", "{past}"),
)
"""Commands that are told which batch to use."""


class Stock(NamedTuple):
    """A batch of berry syrup: last is its last day of use, in days from the night."""

    id: str
    is_open: bool
    brix: float
    last: int

    def entries(self) -> list[str]:
        day = (NIGHT + timedelta(days=self.last)).isoformat()
        made = (NIGHT + timedelta(days=self.last - 6)).isoformat()
        entry: dict[str, Any] = {"batch": self.id, "syrup": "berry-syrup", "event": "made", "brix": self.brix}
        lines = [entry | {"made": made, "discard": day, "mass": 500}]
        lines += [{"batch": self.id, "event": "open"}] if self.is_open else []
        return [f"- {json.dumps(line)}\n" for line in lines]


@st.composite
def stocks(draw: DrawFn) -> list[Stock]:
    """One batch past its last day, one that is good, and perhaps others."""
    days = [draw(st.integers(-5, -1)), draw(st.integers(0, 5)), *draw(st.lists(st.integers(-3, 3), max_size=2))]
    order = draw(st.permutations(days))
    strength = st.sampled_from([50.0, 53.0, 55.0])
    return [Stock(f"BER-{n}", draw(st.booleans()), draw(strength), last) for n, last in enumerate(order, 1)]


def rows(text: str) -> list[str]:
    """The rows of an answer, each with what runs on."""
    found: list[str] = []
    for line in text.splitlines():
        if line.startswith("    ") and found:
            found[-1] += f" {line.strip()}"
        else:
            found.append(line)
    return found


def offered(done: Run, past: set[str]) -> list[str]:
    """The rows that name a batch past its last day and do not say so."""
    words = [(row, set(row.replace(",", " ").replace(":", " ").replace(";", " ").split())) for row in rows(done.out)]
    return [row for row, said in words if said & past and not said & {"past", "discard"}]


@tried(5)
@given(stocks())
def test_no_command_offers_or_pours_it(stock: list[Stock]) -> None:
    past = {batch.id for batch in stock if batch.last < 0}
    gone, good = min(past), next(batch.id for batch in stock if batch.last >= 0)
    with tempfile.TemporaryDirectory() as folder:
        specs = copy_of_house(Path(folder), batches="".join(line for batch in stock for line in batch.entries()))
        before = (specs / FILE).read_text(encoding="utf-8")
        for line in REFUSE:
            done = run(*[word.format(past=gone, other=good) for word in line], specs=specs, env=CLOCK)
            assert (done.code, done.out) in {(1, ""), (2, "")}, (line, done)
            assert "past its last day of use" in done.err or f"{gone} is open already" in done.err, (line, done)
            assert (specs / FILE).read_text(encoding="utf-8") == before
        for line in OFFERS:
            (specs / FILE).write_text(before, encoding="utf-8")
            done = run(*line, specs=specs, env=CLOCK)
            assert offered(done, past) == [], (line, done)
            if line[0] == "measure" and done.code == 0:
                logged = json.loads((specs / FILE).read_text("utf-8").splitlines()[-1].removeprefix("- "))
                assert logged["batch"] not in past


@pytest.mark.parametrize("line", PAGES)
def test_no_page_offers_it(tmp_path: Path, line: tuple[str, ...]) -> None:
    stock = [Stock("BER-1", True, 55.0, -1), Stock("BER-2", True, 55.0, 3), Stock("BER-3", False, 55.0, -2)]
    specs = copy_of_house(tmp_path, batches="".join(line for batch in stock for line in batch.entries()))
    done = run(*line, str(tmp_path / "page.pdf"), specs=specs, env=CLOCK)
    assert done.code == 0
    assert "BER-2" in done.out
    assert offered(done, {"BER-1", "BER-3"}) == []


def test_the_prep_list_has_it_to_throw_away_only(tmp_path: Path) -> None:
    stock = [Stock("BER-1", False, 50.0, -1), Stock("BER-2", True, 50.0, 3)]
    specs = copy_of_house(tmp_path, batches="".join(line for batch in stock for line in batch.entries()))
    data = run("sheet", "prep", "--out", str(tmp_path / "a.pdf"), "--json", specs=specs, env=CLOCK).data
    told = [(key, item) for key, items in data.items() if isinstance(items, list) for item in items]
    assert [(key, item["todo"]) for key, item in told if "BER-1" in json.dumps(item)] == [("batches", "throw out")]


def test_what_is_opened_beside_it_is_not_told_to_be_used_up_after_it(tmp_path: Path) -> None:
    """ "The oldest goes first" is no advice about what is over."""
    stock = [Stock("BER-1", True, 50.0, -1), Stock("BER-2", False, 50.0, -1), Stock("BER-3", False, 50.0, 3)]
    specs = copy_of_house(tmp_path, batches="".join(line for batch in stock for line in batch.entries()))
    done = run("batch", "open", "BER-3", specs=specs, env=CLOCK)
    assert "BER-1 is open and past the last day: balancer batch discard BER-1" in " ".join(done.out.split())
    assert "BER-2" not in done.out


def test_what_is_logged_too_late_is_to_be_discarded(tmp_path: Path) -> None:
    """The line that says what comes next never says to open it, or to correct it."""
    specs = copy_of_house(tmp_path)
    done = run(
        *["batch", "add", "berry", "--brix", "46", "--made", "2026-11-01", "--discard", "2026-11-07"],
        specs=specs,
        env=CLOCK,
    )
    assert done.code == 0
    assert rows(done.out)[-2].split() == ["next", "balancer", "batch", "discard", "BER-1"]


@pytest.mark.parametrize("state", ["open", "made"])
def test_make_counts_no_juice_past_its_day(tmp_path: Path, state: str) -> None:
    """A recipe's juice is the open one as it reads; one past its day is not it."""
    syrup = "syrup: lime syrup\nstandard: 50 °Bx\nrecipe: [1000 g lime juice, 900 g sugar]\n"
    sugar = "ingredient: sugar\nsugar: 1000 g/kg\n"
    log = '- {"batch": "LIM-1", "syrup": "lime-juice", "event": "made", "acid": "80 g/l", "discard": "2026-11-24"}\n'
    log += '- {"batch": "LIM-1", "event": "open"}\n' if state == "open" else ""
    plain = copy_of_house(tmp_path / "a", syrups__lime=syrup, ingredients__sugar=sugar)
    logged = copy_of_house(tmp_path / "b", syrups__lime=syrup, ingredients__sugar=sugar, batches=log)
    said = [run("make", "lime syrup", "--json", specs=specs, env=CLOCK).data for specs in (plain, logged)]
    assert said[0]["acid_g_per_l"] == said[1]["acid_g_per_l"]
