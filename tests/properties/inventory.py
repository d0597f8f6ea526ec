"""What there is: the public formulas, and the keys of the page of sources."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from pathlib import Path
from typing import TYPE_CHECKING

import balancer.properties

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

ROOT = Path(__file__).resolve().parents[2]
REFERENCE_PAGES = ROOT / "docs" / "reference"


def public_formulas() -> Iterator[Callable[..., float]]:
    for module_info in pkgutil.iter_modules(balancer.properties.__path__, "balancer.properties."):
        module = importlib.import_module(module_info.name)
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):
                yield function


def source_keys() -> list[str]:
    """Every key that docs/reference/sources.md defines, in order, repetitions included."""
    return re.findall(r"^- \*\*\[([A-Z0-9-]+)\]\*\*", (REFERENCE_PAGES / "sources.md").read_text("utf-8"), re.MULTILINE)
