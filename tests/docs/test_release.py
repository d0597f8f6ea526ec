"""What a release says of itself in several places is one thing."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from ruamel.yaml import YAML

import balancer
from tests.cli.runner import CHECKOUT
from tests.docs.pages import DOCS

CITED: dict[str, Any] = YAML(typ="safe").load((CHECKOUT / "CITATION.cff").read_text(encoding="utf-8"))
CHANGES = (DOCS / "changelog.md").read_text(encoding="utf-8")
RELEASES = re.findall(r"^## (\d+\.\d+\.\d+), (\d{4}-\d\d-\d\d)$", CHANGES, re.MULTILINE)


def test_the_version_is_one() -> None:
    assert RELEASES[0][0] == balancer.__version__ == str(CITED["version"])


def test_the_date_is_one() -> None:
    assert RELEASES[0][1] == str(CITED["date-released"])


def test_what_is_cited_is_whole() -> None:
    """The keys that its format wants, and the licences of the package."""
    assert {"cff-version", "message", "title", "authors"} <= set(CITED)
    project = (CHECKOUT / "pyproject.toml").read_text(encoding="utf-8")
    assert f'license = "{" AND ".join(CITED["license"])}"' in project


def test_releases_are_in_order_and_have_their_lines() -> None:
    versions = [tuple(map(int, version.split("."))) for version, _ in RELEASES]
    assert versions == sorted(versions, reverse=True)
    for part in re.split(r"^## ", CHANGES, flags=re.MULTILINE)[1:]:
        assert "\n- " in part


def test_the_readme_says_what_the_page_needs_more() -> None:
    """The page's packages are none of those that the README's own line installs."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    always = {re.split(r"[<>=!~ \[]", each)[0] for each in project["dependencies"]}
    page = {re.split(r"[<>=!~ \[]", each)[0] for each in project["optional-dependencies"]["page"]}
    assert page - always
    readme = (CHECKOUT / "README.md").read_text(encoding="utf-8")
    needs = readme.partition("It needs Python")[2].partition("```")[0]
    assert "'.[page]'" in needs
