"""A house whose every text tries to be markup, and a reader that finds what came of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

from tests.cli.runner import copy_of_house
from tests.web.browsing import Node

MARK: Final = "hostile"
"""Part of every text below: an element or attribute that holds it, where none of ours does, came out of a text."""

TEXTS: Final = (
    f"<script>{MARK}()</script>",
    f'"><img src=x onerror={MARK}()>',
    f"' onmouseover='{MARK}()",
    f"</title></textarea></option></select><svg onload={MARK}()>",
    f"{{{{ {MARK}.__class__ }}}}{{% raw %}}",
    f"{MARK} &lt;b&gt; &amp; &#60;i&#62;",
    f"\u202e{MARK}\u2066 gnorw",
    f"{MARK} " + "W" * 250,
    f"javascript:{MARK}()",
    f"<!-- {MARK} --><![CDATA[ {MARK} ]]>",
)
_TURNED: Final = "\u202e\u2066"


def hostile_house(folder: Path) -> Path:
    """The demo house with such names for drinks, syrups, ingredients, batches and people."""
    specs = copy_of_house(folder)
    house = specs / "house.yaml"
    text = house.read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("house:")]
    house.write_text("\n".join([*lines, f"house: {json.dumps(TEXTS[0])}", ""]), encoding="utf-8")
    ingredients, syrups, drinks, log = [], [], [], []
    for number, name in enumerate(TEXTS):
        at = f'"2026-11-25T1{number}:00:00+01:00"'
        ingredients.append({"ingredient": f"{name} gin {number}", "abv": "45 %", "sugar": "0 g/l"})
        syrups.append({"syrup": f"{name} syrup {number}", "id": f"bad-{number}", "standard": "50 °Bx"})
        drinks.append(
            {
                "drink": f"{name} drink {number}", "method": "shaken", "time": name, "garnish": name, "glass": "coupe",
                "pours": [f"60 ml {name} gin {number}", f"22.5 ml {name} syrup {number}", f"20 ml {name} none"][:2],
            }
        )  # fmt: skip
        batch, of = json.dumps(f"{name[:30]}-{number}"), f'"syrup": "bad-{number}"'
        note = json.dumps(name)
        log.append(
            f'- {{"batch": {batch}, {of}, "event": "made", "brix": 54.6, "by": {note}, "note": {note}, "at": {at}}}'
        )
        log.append(f'- {{"batch": {batch}, "event": "open", "at": {at[:-11]}:01:00+01:00"}}')
    for name, entries in (("ingredients", ingredients), ("syrups", syrups), ("drinks", drinks)):
        (specs / name / "zz-hostile.yaml").write_text(json.dumps(entries, ensure_ascii=False), encoding="utf-8")
    with (specs / "batches.yaml").open("a", encoding="utf-8") as file:
        file.write("\n".join(log) + "\n")
    return specs


_NOT_OURS: Final = ("img", "iframe", "object", "embed", "style", "base", "video", "audio", "applet", "frame", "math")
"""Elements that no page of ours has, so that one came out of a text."""

_FREE: Final = ("value", "aria-label", "content", "label", "title", "placeholder")
"""Attributes that hold texts."""


def made_of_text(page: Node) -> list[str]:
    """Whatever on a page a text of the house became, other than text."""
    found = []
    for node in [page, *page.find()]:
        if node.tag in _NOT_OURS:
            found.append(f"<{node.tag}>")
        for name, value in node.attributes.items():
            if name.startswith("on") or name in ("style", "srcdoc"):
                found.append(f"{name}={value}")
            if MARK in name or (
                MARK in value and name not in (*_FREE, "href", "action", "hx-get", "id", "for", "aria-describedby")
            ):
                found.append(f"{name}={value}")
            if name in ("href", "src", "action", "hx-get") and not value.startswith(("/", "#")):
                found.append(f"{name}={value}")
        if node.tag == "script" and (node.raw.strip() or not node.attributes.get("src", "").startswith("/static/")):
            found.append(f"<script>{node.raw}")
    texts = [page.raw, *(value for node in page.find() for value in node.attributes.values())]
    if any(sign in text for text in texts for sign in _TURNED):
        found.append("a sign that turns the text around it")
    return found
