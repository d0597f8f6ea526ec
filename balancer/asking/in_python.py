"""What is said to whoever types a line, said to a program: arguments in place of options."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Final

from balancer.errors import ProblemsError, QuantityError
from balancer.files.house.load import NoFolderError
from balancer.files.reading import fault_of
from balancer.units import is_number, parse_quantity

_CALLED: Final = {
    "READING": "readings",
    "--in": "into",
    "--with": "add",
    "--yes": "yes=True",
    "--abv": "abv_percent",
    "--accuracy": "accuracy_brix",
    "--container": "container_ml",
    "--division": "division_brix",
    "--mass": "mass_g",
    "--sd": "sd_brix",
    "--target": "target_brix",
    "--temperature": "temperature_c",
    "--uncertainty": "uncertainty_brix",
    "--volume": "volume_ml",
    "--zero": "zero_brix",
}
"""Options that are called otherwise in Python: an argument says its unit."""

_OPTION: Final = r"(?P<option>--[a-z][a-z-]*)(?: (?P<value>[-+]?[0-9][\w.%]*|sugar\b))?"
_COMMAND: Final = "balancer "
_UNITS: Final = ("_brix", "_c", "_g", "_ml", "_percent")
_YOURS: Final = (
    'name yours, like balancer.load("my-bar"); balancer.load() takes the one you are in; or look around: '
    "balancer.load(demo=True)"
)


def argument(option: str) -> str:
    """What an option of the command line is called here."""
    return _CALLED.get(option, option.removeprefix("--"))


def in_python(text: str) -> str:
    """What a person is told, with arguments in place of options; a line to be typed stays as it is.

    >>> in_python("say how far they do: --sd 2"), in_python("give its size, or --volume 120ml")
    ('say how far they do: sd_brix=2', 'give its size, or volume_ml=120')
    >>> in_python("leave acid out of --hold"), in_python("give --sugar -10%")
    ('leave acid out of hold', 'give sugar="-10%"')
    >>> in_python("log one: balancer batch add SYRUP --brix 50")
    'log one: balancer batch add SYRUP --brix 50'
    """
    before, command, after = text.partition(_COMMAND)
    return f"{re.sub(_OPTION, _with_value, before)}{command}{after}"


def _with_value(match: re.Match[str]) -> str:
    name, value = argument(match["option"]), match["value"]
    if value is None:
        return name
    if is_number(value):
        return f"{name}={value}"
    try:
        return f"{name}={parse_quantity(value).base:g}" if name.endswith(_UNITS) else f'{name}="{value}"'
    except QuantityError:  # no amount that we wrote
        return match[0]


@contextmanager
def told() -> Iterator[None]:
    """What a person can mend is told as every other fault, and for Python. Raises ProblemsError for it."""
    try:
        yield
    except NoFolderError as error:
        raise ProblemsError([replace(each, remedy=_YOURS) for each in error.problems()]) from None
    except OSError as error:
        problem = fault_of(error)
        if problem is None:
            raise
        raise ProblemsError([problem]) from error
