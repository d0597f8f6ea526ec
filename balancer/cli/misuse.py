"""Wrong usage said for people: what is wrong with what was typed, and a line of that command as it is typed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Any, Final

from balancer.errors import UsageError

TYPED: Final = {
    "tonight": "tonight --date '21 Nov'",
    "measure": "measure 54 raspberry --log",
    "batch": "batch list",
    "batch add": "batch add raspberry 54 --open",
    "batch open": "batch open RAS-12",
    "batch empty": "batch empty RAS-12",
    "batch discard": "batch discard RAS-12",
    "batch correct": "batch correct RAS-12 --brix 50.2 --mass 1.4kg",
    "batch reading": "batch reading RAS-12 --brix 50.2",
    "batch combine": "batch combine GIN-1 GIN-2",
    "batch undo": "batch undo RAS-12",
    "batch show": "batch show RAS-12",
    "batch list": "batch list --all",
    "rescale": "rescale slipway --syrup raspberry --brix 54",
    "pour": "pour 22.5ml --standard 50 --brix 54",
    "correct": "correct --syrup raspberry --brix 54 --mass 1.4kg",
    "make": "make simple --volume 2l",
    "standardise": "standardise",
    "bottle": "bottle slow-bell --serves 12",
    "chart": "chart ginger",
    "simulate": "simulate --sd 2",
    "calibrate": "calibrate chandlers",
    "safety": "safety freezing",
    "totals": "totals slipway",
    "adjust": "adjust slipway --sugar -10%",
    "swap": "swap slipway --out raspberry --in honey-syrup",
    "fits": "fits slipway --out raspberry",
    "aim": "aim honey slipway --for raspberry",
    "compare": "compare raspberry honey-syrup",
    "set": "set slipway raspberry 20ml",
    "strips": "strips RAS-12 --out strips.pdf",
    "labels": "labels RAS-12 --out labels.pdf",
    "cards": "cards slipway --out cards.pdf",
    "sheet": "sheet rail --out rail.pdf",
    "sheet rail": "sheet rail --out rail.pdf",
    "sheet prep": "sheet prep --out prep.pdf",
    "sheet allergens": "sheet allergens --out allergens.pdf",
    "sheet test": "sheet test slipway --out test.pdf",
    "page": "page --host 0.0.0.0",
    "start": "start specs",
    "check": "check",
    "import": "import menu.csv --write",
    "export": "export drinks --out drinks.csv",
}
"""A line of every command that does something, in the words of the demo house."""

_WRITES: Final = ("--write", "--yes")
"""Never offered for a word that is only like them."""

_EXTRA: Final = r"Got unexpected extra arguments?(?:\(s\))? \((?P<words>.*)\)"
_COMMAND: Final = r"No such command ['\"](?P<word>.*?)['\"]\.(?: Did you mean ['\"](?P<like>.*?)['\"]\?)?.*"
_VALUE: Final = r"Option ['\"](?P<option>[^'\"]*)['\"] (?P<what>requires|does not take).*"
_BAD: Final = r"Invalid value(?: for (?P<of>.+?))?: (?P<why>.*)"


def misuse(error: Any, words: Sequence[str]) -> UsageError:
    """A complaint of the reader of command lines about the words of one, in plain words."""
    context = getattr(error, "ctx", None)
    name = context.command_path.partition(" ")[2] if context else _command(words)
    path = f"balancer {name}".rstrip()
    message, hint = _said(error, path)
    line = TYPED.get(name)
    remedy = hint or (f"type it like: balancer {line}" if line else f"{path} -h lists every command")
    return UsageError("usage", message, remedy)


def _command(words: Sequence[str]) -> str:
    """The command that some words begin with; "" for none."""
    plain = [word for word in words if not word.startswith("-")]
    return next((name for end in (2, 1) if (name := " ".join(plain[:end])) in TYPED), "")


def _said(error: Any, path: str) -> tuple[str, str]:
    """What is wrong, and what to do where that is known; errors are told by their words, their classes move."""
    param = getattr(error, "param", None)
    if type(error).__name__ == "MissingParameter" and param is not None:
        return f"{path} needs {_wanted(param)}", ""
    if type(error).__name__ == "NoSuchOption":
        near = _near(error.option_name, list(error.possibilities or ()))
        return f"{path} has no option {error.option_name}", f"did you mean {near}?" if near else ""
    told = str(error.format_message())
    if match := re.fullmatch(_EXTRA, told, re.DOTALL):
        return f'"{match["words"]}" is too much for {path}', ""
    if match := re.fullmatch(_COMMAND, told, re.DOTALL):
        like = match["like"]
        listed = f"{path} -h lists every command"
        return f'{path} has no command "{match["word"]}"', f'did you mean "{path} {like}"?' if like else listed
    if match := re.fullmatch(_VALUE, told, re.DOTALL):
        wants = "needs a value behind it" if match["what"] == "requires" else "takes no value"
        return f"{match['option']} {wants}", ""
    if match := re.fullmatch(_BAD, told, re.DOTALL):
        shown = _long(param) if param is not None else match["of"] or path
        return f"{shown}: {match['why'].rstrip('.').replace(chr(39), chr(34))}", ""
    return told.rstrip("."), ""


def _near(option: str, known: Sequence[str]) -> str | None:
    """The option that is rather meant: one that begins so, or is spelt much like it."""
    begun = [one for one in known if one.startswith(option)]
    harmless = [one for one in known if one not in _WRITES]
    return next(iter([*begun, *get_close_matches(option, harmless, n=1, cutoff=0.7)]), None)


def _wanted(param: Any) -> str:
    """What is missing, and what it is: of an option its long form with a value."""
    shown = param.metavar or param.name.upper()
    shown = shown if param.param_type_name == "argument" else f"{_long(param)} {shown}"
    told = str(param.help or "").rstrip(".")
    return f"{shown}: {told[0].lower()}{told[1:]}" if told else shown


def _long(param: Any) -> str:
    if param.param_type_name == "argument":
        return str(param.metavar or param.name.upper())
    return next((word for word in param.opts if word.startswith("--")), str(param.opts[0]))
