"""Keep every drink tasting as designed although syrups vary.

`load` opens a bar's folder for Python; docs/reference/python.md says what it promises. Nothing is imported before it
is asked for, so that a command starts at once.
"""

TYPE_CHECKING = False  # the one of `typing`, which takes longer than all else here
if TYPE_CHECKING:
    from datetime import datetime
    from os import PathLike

    from balancer.asking.python import BarFolder as BarFolder
    from balancer.asking.reply import Reply as Reply
    from balancer.errors import BalancerError as BalancerError
    from balancer.errors import CannotError as CannotError
    from balancer.errors import OutOfRangeError as OutOfRangeError
    from balancer.errors import Problem as Problem
    from balancer.errors import ProblemsError as ProblemsError
    from balancer.errors import QuantityError as QuantityError
    from balancer.errors import UsageError as UsageError

__version__ = "1.0.0"
__all__ = [
    "BalancerError",
    "BarFolder",
    "CannotError",
    "OutOfRangeError",
    "Problem",
    "ProblemsError",
    "QuantityError",
    "Reply",
    "UsageError",
    "load",
]

_FROM = {"BarFolder": "balancer.asking.python", "Reply": "balancer.asking.reply"}
"""Where what is public comes from; `balancer.errors` for the rest of it."""


def load(
    folder: "str | PathLike[str] | None" = None, *, demo: bool = False, at: "datetime | None" = None
) -> "BarFolder":
    """A bar's folder, read and ready to be asked.

    folder  where it is; found as the commands find it when None: BALANCER_SPECS, specs/ here, and folders above
    demo    the invented bar that comes with it, on its own evening
    at      the moment that counts as now; the clock's, or BALANCER_NOW's, when None
    Raises BalancerError when there is no folder, or no bar in it. What is broken in it is among its `problems`.
    """
    from balancer.asking.python import BarFolder  # noqa: PLC0415 - importing balancer stays instant

    return BarFolder(folder, demo=demo, at=at)


if not TYPE_CHECKING:  # to a type checker everything is there, and nothing else is

    def __getattr__(name):
        """What is public, imported when it is first asked for (PEP 562)."""
        if name not in __all__ or name == "load":
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib import import_module  # noqa: PLC0415

        found = globals()[name] = getattr(import_module(_FROM.get(name, "balancer.errors")), name)
        return found


def __dir__() -> "list[str]":
    return sorted({*globals(), *__all__})
