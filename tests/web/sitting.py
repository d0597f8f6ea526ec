"""Devices at the page of a house: they fill in the forms that they are shown, as a browser does."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from balancer.files.house.demo import demo_folder
from balancer.web.app import page_app
from balancer.web.house import OpenHouse
from balancer.web.settings import PageSettings
from tests.across.houses import CLOCK, Bar
from tests.web.browsing import KEY, ORIGIN, Node, read


class Form:
    """A form as it is shown, and what a browser sends of it untouched."""

    def __init__(self, node: Node) -> None:
        self.node = node
        self.action, self.method = node.attributes["action"].partition("#")[0], node.attributes["method"]
        self.names: set[str] = set()
        self.fields: dict[str, str] = {}
        for field in (*node.find("input"), *node.find("select")):
            given, name = field.attributes, field.attributes["name"]
            self.names.add(name)
            if field.tag == "select":
                options = [each.attributes for each in field.find("option")]
                self.fields[name] = next((each["value"] for each in options if "selected" in each), options[0]["value"])
            elif given.get("type") not in ("radio", "checkbox") or "checked" in given:
                self.fields[name] = given.get("value", "")

    def button(self, said: str) -> Node | None:
        """Its button that begins so."""
        return next((each for each in self.node.find("button") if each.text.startswith(said)), None)


class Shown:
    """A page as it came: its status and words, its forms, and what is wrong with which field."""

    def __init__(self, status: int, html: str, location: str = "") -> None:
        self.status, self.html, self.location = status, html, location

    @cached_property
    def root(self) -> Node:
        return read(self.html)

    @property
    def words(self) -> str:
        return self.root.text

    def part(self, identity: str) -> Node | None:
        """The element of an id."""
        return next((each for each in self.root.find() if each.attributes.get("id") == identity), None)

    @property
    def result(self) -> str:
        """What a reading comes to, in words."""
        found = self.part("result")
        return found.text if found else ""

    def form(self, button: str, within: str = "") -> tuple[Form, dict[str, str]]:
        """The first form with a button that begins so, and what the button sends."""
        root = self.part(within) if within else self.root
        assert root is not None
        forms = [Form(node) for node in root.find("form")]
        for form in forms:
            found = form.button(button)
            if found is not None:
                name = found.attributes.get("name")
                return form, {name: found.attributes["value"]} if name else {}
        raise AssertionError(f"no button {button!r} among {[each.text for each in root.find('button')]}")

    def wrong(self) -> dict[str, str]:
        """What is said to be wrong, by the field that it stands at, as a screen reader finds it."""
        found = {}
        for field in (*self.root.find("input"), *self.root.find("select")):
            if field.attributes.get("aria-invalid") == "true":
                told = [self.part(each) for each in field.attributes["aria-describedby"].split()]
                said = [each.text for each in told if each is not None and each.attributes["id"].endswith("-wrong")]
                assert len(said) == 1, field.attributes
                found[field.attributes["name"]] = said[0]
        return found


class Device:
    """A phone at the page."""

    def __init__(self, client: TestClient) -> None:
        self.client = client

    def get(self, address: str, fields: Mapping[str, str] | None = None) -> Shown:
        """A page, as far as it leads."""
        answer = self.client.get(address, params=fields, follow_redirects=False)
        if answer.status_code == 303:
            return self.get(answer.headers["location"].partition("#")[0])
        return Shown(answer.status_code, answer.text)

    def post(self, address: str, fields: Mapping[str, str]) -> Shown:
        """What a form leads to, not led on."""
        answer = self.client.post(address, data=dict(fields), headers={"Origin": ORIGIN}, follow_redirects=False)
        return Shown(answer.status_code, answer.text, answer.headers.get("location", ""))

    def sent(self, page: Shown, button: str, within: str = "", /, **typed: str) -> Shown:
        """A form of a page filled in and sent by its button."""
        form, own = page.form(button, within)
        assert typed.keys() <= form.names, (typed, form.names)
        fields = form.fields | typed | own
        return self.get(form.action, fields) if form.method == "get" else self.post(form.action, fields)

    def press(self, page: Shown, button: str, within: str = "", /, **typed: str) -> Shown:
        """The same, led on to what shows that it was done."""
        done = self.sent(page, button, within, **typed)
        if done.status == 303:
            return self.get(done.location)
        assert done.status == 200, (done.status, done.words)
        return done


class Sitting:
    """A copy of the demo house, its page, and a clock."""

    def __init__(self, folder: Path, patch: pytest.MonkeyPatch) -> None:
        self.specs = folder / "specs"
        shutil.copytree(demo_folder(), self.specs)
        self.patch = patch
        patch.setenv("XDG_STATE_HOME", str(folder / "state"))
        self.at("20:16")
        self.app = page_app(OpenHouse(self.specs), PageSettings(), KEY)

    def at(self, clock: str) -> None:
        """What time it is, on the demo's evening."""
        self.patch.setenv("BALANCER_NOW", f"2026-11-25T{clock}:00+01:00")

    def device(self) -> Device:
        """Another device."""
        return Device(TestClient(self.app, base_url=ORIGIN))

    @property
    def log(self) -> list[dict[str, Any]]:
        """The lines of the log."""
        text = (self.specs / "batches.yaml").read_text(encoding="utf-8")
        return [json.loads(line.removeprefix("- ")) for line in text.splitlines()]


@pytest.fixture
def sitting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Sitting:
    """One of these."""
    return Sitting(tmp_path, monkeypatch)


@contextmanager
def on_its_night(bar: Bar) -> Iterator[Path]:
    """The folder of a bar, written to be looked at on its night from this process too."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        for name, value in CLOCK.items():
            patch.setenv(name, value)
        yield bar.write(Path(folder))
