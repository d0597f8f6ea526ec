"""Script in every field of every form: it is refused or kept as text, and shown as text."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from balancer.files.log.batch_log import read_log
from tests.cli.runner import copy_of_house
from tests.web.browsing import ORIGIN, Node, read, visitor
from tests.web.hostile import TEXTS, made_of_text

pytestmark = pytest.mark.slow

PAGES = ("/batches/new", "/read?what=raspberry-syrup&reading=54.5", "/batches/RAS-12", "/name", "/key", "/")
_RAS = '- {"batch": "RAS-12", "syrup": "raspberry-syrup", "event": '
MADE = (
    _RAS + '"made", "brix": 54, "at": "2026-11-25T15:00:00+01:00"}\n' +
    _RAS + '"open", "at": "2026-11-25T15:01:00+01:00"}\n'
)  # fmt: skip


@pytest.fixture
def client(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:30+01:00")
    specs = copy_of_house(tmp_path)
    (specs / "batches.yaml").write_text(MADE, encoding="utf-8")
    return visitor(specs)


def forms(page: Node) -> Iterator[tuple[str, str, dict[str, str]]]:
    """Every form of a page: its method and address, and its fields as a browser would send them."""
    for form in page.find("form"):
        fields = {}
        for node in [*form.find("input"), *form.find("button"), *form.find("select"), *form.find("textarea")]:
            if name := node.attributes.get("name"):
                fields[name] = node.attributes.get("value", "")
        yield form.attributes.get("method", "get"), form.attributes["action"].partition("#")[0], fields


@pytest.mark.parametrize("text", [TEXTS[1], *(pytest.param(text, marks=pytest.mark.slow) for text in TEXTS)])
@pytest.mark.parametrize("path", PAGES)
def test_a_text_in_any_field_stays_text(client: TestClient, path: str, text: str, tmp_path: Path) -> None:
    """What fails on the server would fail here; what is logged can be read again."""
    sent = 0
    for method, action, fields in forms(read(client.get(path).text)):
        for name in fields:
            if name in ("token", "once"):
                continue
            given = {**fields, name: text}
            if method == "get":
                answer = client.get(action, params=given)
            else:
                answer = client.post(action, data=given, headers={"Origin": ORIGIN})
            sent += 1
            assert answer.status_code in (200, 403, 404, 409, 422, 429), (action, name)
            assert made_of_text(read(answer.text)) == [], (action, name)
    assert sent
    for again in ("/", "/batches", "/read", path):
        assert made_of_text(read(client.get(again).text)) == []
    assert not read_log(tmp_path / "specs").problems
