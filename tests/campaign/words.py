"""Words that somebody may type by accident, and a command line made of a good one with some of them."""

from __future__ import annotations

import shlex
from random import Random
from typing import Any, Final, NamedTuple

import typer

from balancer.cli.app import COMMANDS, app
from balancer.cli.misuse import TYPED

VALUES: Final = (
    *("54", "54 °Bx", "46,5", "22.5ml", "3/4 oz", "1½oz", "20 ml", "2kg", "1.4kg", "1l", "750 ml", "5 %", "-10%", "12"),
    *("0", "-1", "1e9", "999999999999", "nan", "inf", "1/0", "22,500ml", "½½", "1:1", "2:1", "0.54", "540", "٣ ml"),
    *("today", "yesterday", "21 Nov", "2026-11-25", "25/11", "31 Feb", "0001-01-01", "9999-12-31", "18:00", "-5 days"),
    *("slipway", "slow-bell", "raspberry", "honey-syrup", "RAS-12", "GIN-1", "gold rum", "lime juice", "coupe", "all"),
    *(
        "a4",
        "letter",
        "a6",
        "a4-21",
        "62",
        "drinks",
        "batches",
        "rail",
        "prep",
        "sugar",
        "acid,volume",
        "boiled",
        "both",
    ),
    *("out.pdf", "out.svg", "out.png", "out.csv", "out.xyz", "menu.csv", "map.yaml", "specs", "specs/house.yaml"),
)
"""Good and slipped values of every kind, so that each option meets its own and all others."""

HOSTILE: Final = (
    *("", " ", "-", "--", "---", "--=", "-=5", "=", "'", '"', "\\", "\n", "\t", "a\nb", "\r\n", "\x1b[31mred", "\x07"),
    *("$(reboot)", "`id`", "; rm -rf .", "| cat", "&& true", "%s%n", "{0}", "{{7*7}}", "<b>", "*", "?", "[a", "~", "#"),
    *("\u202eevil", "\u200b", "\ufeff", "\ud7ff", "𝒳", "é" * 40, "燈台", "İI ı", "ß", "x" * 300, "9" * 400, "a b c"),
    *(
        "None",
        "null",
        "true",
        "[]",
        "{}",
        "- {",
        "&a",
        "*a",
        "!x",
        "0x1F",
        "1e400",
        "../..",
        ".",
        "..",
        "/",
        "specs/..",
    ),
    *(
        "nowhere/x.pdf",
        "specs/drinks",
        "specs/batches.yaml",
        "menu.csv/x",
        "-9",
        "+5",
        "1_000",
        "⅓",
        "5 º",
        "5\u00a0ml",
    ),
)
WINDOWS: Final = (
    *("C:\\bar\\specs", "C:", "C:specs", "d:/bar/menu.csv", "specs\\drinks", ".\\specs", "..\\specs", "\\\\bar\\share"),
    *(
        "\\\\?\\C:\\bar",
        "CON",
        "nul",
        "AUX.pdf",
        "com1.csv",
        "LPT1",
        "prn.yaml",
        "out.pdf.",
        "out.pdf ",
        "a:b",
        "a|b.pdf",
    ),
    *(
        '"C:\\Program Files\\bar"',
        "%USERPROFILE%\\specs",
        "file:///C:/bar/menu.csv",
        "menu.csv\\",
        "out<1>.svg",
        "a?.pdf",
    ),
)
"""Paths as Windows has them, and names that it reserves."""

_WRITE: Final = frozenset(("set", "start", "import"))
_READS_BATCH: Final = frozenset(("list", "show"))
_WRITING: Final = (
    *(
        "--out",
        "--csv",
        "--log",
        "--write",
        "--save-map",
        "--copy-template",
        "--remember",
        "--test-sheet",
        "--save",
        "--as",
    ),
)


class Option(NamedTuple):
    """An option as it is typed, and whether a value follows."""

    word: str
    wants: bool


def commands() -> dict[str, list[Option]]:
    """The options of every command that is typed; `page` is left out, for it listens until it is stopped."""
    table: Any = typer.main.get_command(app)
    found: dict[str, list[Option]] = {}
    for name in COMMANDS:
        group = table.get_command(None, name)
        below = getattr(group, "commands", None)
        each = {f"{name} {one}": command for one, command in below.items()} if below else {name: group}
        found |= {path: _options(command) for path, command in each.items() if path in TYPED and path != "page"}
    return found


def _options(command: Any) -> list[Option]:
    given = [one for one in command.params if one.param_type_name == "option"]
    return [Option(word, not one.is_flag) for one in given for word in one.opts]


def line(chance: Random, options: dict[str, list[Option]]) -> list[str]:
    """A command line as the page of commands has it, with up to five slips."""
    name = chance.choice(sorted(options))
    words = shlex.split(TYPED[name])
    for _ in range(chance.choice((0, 1, 1, 2, 2, 3, 5))):
        words = _slipped(words, chance, options[name])
    if chance.random() < 0.5 and not (words and words[-1].startswith("-")):
        words.append("--json")
    return [word.replace("\x00", "") for word in words]


def _slipped(words: list[str], chance: Random, options: list[Option]) -> list[str]:
    at = chance.randrange(len(words)) if words else 0
    change = chance.randrange(8)
    if change <= 2:
        option = chance.choice(options)
        more = [option.word, _value(chance)] if option.wants and chance.random() < 0.95 else [option.word]
        more = ["=".join(more)] if len(more) == 2 and chance.random() < 0.2 else more
        place = chance.choice((len(words), len(words), at))
        return [*words[:place], *more, *words[place:]]
    if not words:
        return [_value(chance)]
    if change == 3:
        return [*words[:at], _value(chance), *words[at + 1 :]]
    if change == 4:
        return [*words[:at], _mistyped(words[at], chance), *words[at + 1 :]]
    if change == 5:
        return [*words[:at], *words[at + 1 :]]
    if change == 6:
        return [*words[:at], words[at], *words[at:]]
    other = chance.randrange(len(words))
    swapped = list(words)
    swapped[at], swapped[other] = swapped[other], swapped[at]
    return swapped


def _value(chance: Random) -> str:
    return chance.choice(chance.choice((VALUES, VALUES, VALUES, HOSTILE, WINDOWS)))


def _mistyped(word: str, chance: Random) -> str:
    if not word:
        return "x"
    at = chance.randrange(len(word))
    return chance.choice(
        (
            word[:at] + word[at + 1 :],
            word[:at] + word[at] + word[at:],
            word[:at] + chance.choice("abcdeiorst059.,-%°") + word[at + 1 :],
            word[:at] + word[at + 1 : at + 2] + word[at] + word[at + 2 :],
            word.upper(),
            word[:at],
        )
    )


def only_reads(words: list[str]) -> bool:
    """Whether a line certainly writes nothing; where it may, nothing is claimed."""
    plain = [word for word in words if not word.startswith("-")]
    if _WRITE & set(plain) or ("batch" in plain and not _READS_BATCH & set(plain[:3])):
        return False
    short = [word for word in words if word.startswith("-") and not word.startswith("--")]
    return not any(word.startswith(_WRITING) for word in words) and not any(set(word) & set("olw") for word in short)


def wants_json(words: list[str]) -> bool:
    """Whether the answer must be JSON: it is asked for, and no page of help or version is.

    Behind an option, --json may be taken for its value: then nothing is claimed.
    """
    helps = any(word in ("-h", "--help", "help", "--version", "--") for word in words)
    asks = [place for place, word in enumerate(words) if word == "--json"]
    return not helps and any(place == 0 or not words[place - 1].startswith("-") for place in asks)
