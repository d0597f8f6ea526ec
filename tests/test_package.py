"""What a release holds, and that it works where there is no checkout."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

import balancer
from tests.cli.runner import CHECKOUT, run
from tests.git import GIT, git
from tests.package import Environment, built, contents, unpacked

pytestmark = pytest.mark.slow
INFO = f"balancer-{balancer.__version__}.dist-info"
NIGHT = "2026-11-25"


@pytest.fixture(scope="module")
def sdist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(tmp_path_factory.mktemp("release") / "sdist", "--sdist")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(tmp_path_factory.mktemp("release") / "wheel", "--wheel")


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Environment:
    return Environment(tmp_path_factory.mktemp("installed"), wheel)


def test_the_sdist_builds_the_same_wheel(sdist: Path, wheel: Path, tmp_path: Path) -> None:
    """And has what a person reads beside it."""
    source = unpacked(sdist, tmp_path / "unpacked")
    assert {path.name for path in source.iterdir()} >= {"README.md", "CITATION.cff", "docs", "specs", "balancer"}
    again = built(tmp_path / "again", "--wheel", source=source)
    assert again.name == wheel.name == f"balancer-{balancer.__version__}-py3-none-any.whl"
    ours, theirs = contents(wheel), contents(again)
    assert sorted(theirs) == sorted(ours)
    assert [name for name in ours if ours[name] != theirs[name]] == []


@pytest.mark.skipif(not GIT, reason="there is no git here")
def test_the_wheel_holds_what_is_tracked_and_nothing_else(wheel: Path) -> None:
    tracked = git(CHECKOUT, "ls-files", "-z", "balancer", "specs").rstrip("\0").split("\0")
    wanted = {path if path.startswith("balancer/") else f"balancer/{path}" for path in tracked}
    held = {name for name in contents(wheel) if not name.startswith(f"{INFO}/")}
    assert held == wanted | {"balancer/safety.md"}
    assert {"balancer/py.typed", "balancer/specs/house.yaml", "balancer/pantry/spirits.yaml"} <= held


def test_the_wheel_says_what_it_is(wheel: Path) -> None:
    held = contents(wheel)
    said = held[f"{INFO}/METADATA"].decode()
    assert f"\nVersion: {balancer.__version__}\n" in said
    assert "\nRequires-Python: >=3.11\n" in said
    assert held[f"{INFO}/licenses/docs/licence.txt"] == (CHECKOUT / "docs" / "licence.txt").read_bytes()
    assert f"{INFO}/licenses/balancer/output/paper/fonts/OFL.txt" in held
    assert f"{INFO}/licenses/balancer/web/static/htmx-licence.txt" in held


def test_it_answers_without_the_checkout(installed: Environment, tmp_path: Path) -> None:
    """The main job: tonight's pours, of the bar inside and of a copy of one's own."""
    where = installed.run(installed.python, "-c", "import balancer; print(balancer.__file__)", cwd=tmp_path)
    assert Path(where.strip()).is_relative_to(installed.folder)
    assert installed.run(installed.balancer, "--version", cwd=tmp_path) == f"balancer {balancer.__version__}\n"
    ours = run("tonight", "--demo", specs=None).out
    assert installed.run(installed.balancer, "tonight", "--demo", cwd=tmp_path) == ours
    installed.run(installed.balancer, "start", "slip", "--demo", cwd=tmp_path)
    own = tmp_path / "slip"
    checked = json.loads(installed.run(installed.balancer, "check", "--json", cwd=own))
    assert checked["problems"] == []
    mine = json.loads(installed.run(installed.balancer, "tonight", "--date", NIGHT, "--json", cwd=own))
    assert mine == run("tonight", "--date", NIGHT, "--json", specs=CHECKOUT / "specs").data
    assert "pour" in installed.run(installed.balancer, "rescale", "-s", "raspberry", "-b", "54", cwd=own)
    installed.run(installed.balancer, "batch", "add", "raspberry", "--brix", "54", "--open", cwd=own)


def test_it_prints_without_the_checkout(installed: Environment, tmp_path: Path) -> None:
    """Fonts, templates, languages and the page on safety are inside."""
    installed.run(installed.balancer, "cards", "slipway sour", "--demo", "--out", "card.pdf", cwd=tmp_path)
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF")
    assert installed.run(installed.balancer, "safety", cwd=tmp_path) == run("safety", specs=None).out
    new = installed.run(installed.balancer, "start", "empty", cwd=tmp_path)
    assert new.startswith("empty is ready")


def test_a_program_asks_it_without_the_checkout(installed: Environment, tmp_path: Path) -> None:
    program = "import balancer, json; print(json.dumps(balancer.load(demo=True).tonight().to_dict()))"
    told = json.loads(installed.run(installed.python, "-c", program, cwd=tmp_path))
    assert told == run("tonight", "--demo", "--json", specs=None).data


RIGHT = """\
import balancer
from balancer import BalancerError, BarFolder, Reply


def poured(bar: BarFolder, syrup: str, brix: float) -> dict[str, float]:
    reply = bar.rescale(syrup, brix)
    return {row.drink.name: row.poured.value for row in reply.result.rows}


def abv(bar: BarFolder, drink: str) -> float | None:
    served = bar.totals(drink).result.served
    return served.abv_percent if served else None


def everything(bar: BarFolder) -> list[str]:
    one, some = bar.rescale("raspberry", 54, "slipway sour"), bar.simulate(bar.drinks[:2], own_sd_brix={"raspberry": 2})
    read = bar.measure([54, "54.2"], "raspberry", atc=True).result.measurement.strength.value
    tried = bar.adjust("slipway sour", sugar="-10%", abv_percent=12).result.pours
    print(one, some.result.draws, read + 1.0, [pour.liquid.name for pour in tried], bar.problems, bar.at.isoformat())
    return [one.drink.name for one in bar.totals().result.drinks]


try:
    bar = balancer.load(demo=True)
    told: dict[str, float] = poured(bar, "raspberry", 54.0)
    data: dict[str, object] = bar.tonight().to_dict()
except BalancerError as error:
    places = [(problem.path, problem.line, problem.column) for problem in error.problems()]
"""
WRONG = {
    'bar.rescale("raspberry", "54")': 'has incompatible type "str"; expected "float"',
    'bar.adjust("slipway sour", sugar=-10)': 'has incompatible type "int"',
    'bar.adjust(sugar="-10%")': 'Missing positional argument "drink"',
    'bar.adjust("slipway sour", suger="-10%")': 'Unexpected keyword argument "suger"',
    "bar.totals(5)": 'No overload variant of "totals" of "BarFolder" matches argument type "int"',
    'bar.totals("slipway sour").result.rows': '"Totals" has no attribute "rows"',
    "balancer.nothing": 'Module has no attribute "nothing"',
}
"""What a program has wrong, and what mypy says about it."""


def test_a_users_program_is_checked_by_its_types(installed: Environment, tmp_path: Path) -> None:
    """As mypy finds it installed, by py.typed, and strictly: of the right one nothing, of each wrong line its fault."""
    (tmp_path / "right.py").write_text(RIGHT, encoding="utf-8")
    (tmp_path / "wrong.py").write_text("\n".join(["from right import balancer, bar", *WRONG]), encoding="utf-8")
    mypy = [sys.executable, "-m", "mypy", "--strict", "--implicit-reexport", "--config-file="]
    theirs = ["--python-executable", str(installed.python)]
    lines = installed.run(*mypy, *theirs, "right.py", "wrong.py", cwd=tmp_path, code=1).splitlines()
    said = [line for line in lines if ": note: " not in line]
    assert len(said) == len(WRONG) + 1
    for number, (line, told) in enumerate(zip(said, WRONG.values(), strict=False), start=2):
        assert line.startswith(f"wrong.py:{number}: error: ")
        assert told in line


def test_without_the_extra_the_page_says_what_it_needs(installed: Environment, tmp_path: Path) -> None:
    said = installed.run(installed.balancer, "page", "--demo", "--json", cwd=tmp_path, code=1)
    assert json.loads(said)["problems"][0]["code"] == "not-installed"


ASKED = """
import asyncio
from pathlib import Path
from balancer.files.house.demo import demo_folder
from balancer.web.app import page_app
from balancer.web.house import OpenHouse
from balancer.web.keys import PageKey
from balancer.web.settings import PageSettings

APP = page_app(OpenHouse(demo_folder(), is_demo=True), PageSettings(), PageKey("ACDE-FGHJ-KMNP-QRTU", b"x" * 32))


async def asked(path):
    sent, waiting = [], [{"type": "http.request", "body": b"", "more_body": False}]
    scope = {"type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "GET", "scheme": "http",
             "path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "",
             "headers": [(b"host", b"127.0.0.1:8466")], "client": ("127.0.0.1", 50000), "server": ("127.0.0.1", 8466)}

    async def receive():
        return waiting.pop() if waiting else await asyncio.Event().wait()

    async def send(message):
        sent.append(message)

    await APP(scope, receive, send)
    return sent[0]["status"]


for path in ("/", "/prep", "/static/page.css", "/static/htmx.min.js", "/static/Inter-Bold.otf"):
    print(path, asyncio.run(asked(path)))
"""


def test_with_its_extra_the_page_answers_without_the_checkout(wheel: Path, tmp_path: Path) -> None:
    """Templates, style, scripts and fonts are inside."""
    there = Environment(tmp_path / "there", wheel, "page")
    said = there.run(there.python, "-c", ASKED, cwd=tmp_path).split()
    assert said[::2] == ["/", "/prep", "/static/page.css", "/static/htmx.min.js", "/static/Inter-Bold.otf"]
    assert set(said[1::2]) == {"200"}
