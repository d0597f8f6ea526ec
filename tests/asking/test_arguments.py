"""Whatever is given to a method of the Python interface, it is answered, or refused in words that name the argument."""

from __future__ import annotations

import inspect
import re
from collections import deque
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, timedelta, tzinfo
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

import balancer
from balancer import BalancerError, BarFolder, Reply, UsageError
from tests.across.houses import tried
from tests.cli.runner import HOUSE

EVENING: Final = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
SOUR: Final = "anchor sour"
BAR: Final = balancer.load(HOUSE, at=EVENING)

RIGHT: Final[dict[str, dict[str, Any]]] = {
    "load": {"folder": HOUSE, "demo": False, "at": EVENING},
    "totals": {"drink": SOUR, "against": "anchor sour", "sort": None, "reverse": False},
    "rescale": {
        "syrup": "berry", "brix": 54.0, "drinks": [SOUR], "uncertainty_brix": 0.4, "cause": "boiled", "alone": True,
        "yes": True,
    },
    "tonight": {"date": "2026-11-25"},
    "swap": {"drink": SOUR, "out": "berry", "into": "50 °Bx", "hold": "sugar", "tonight": False},
    "swap_everywhere": {"out": "berry", "into": "50 °Bx", "hold": "sugar", "tonight": False},
    "stand_ins": {"drink": SOUR, "out": "berry", "hold": "sugar"},
    "adjust": {
        "drink": SOUR, "sugar": "-10%", "acid": "-5%", "abv_percent": 12.0, "volume_ml": 150.0, "glass": None,
    },
    "correct": {
        "batch": None, "syrup": "berry", "brix": 54.0, "mass_g": 2000.0, "volume_ml": None, "target_brix": 50.0,
        "add": "water", "container_ml": 5000.0, "uncertainty_brix": 0.5, "stirred": True, "alone": True, "yes": True,
    },
    "measure": {
        "readings": [54.0], "of": "berry", "temperature_c": 22.0, "atc": True, "scale": "0-90", "division_brix": 0.2,
        "accuracy_brix": 0.2, "zero_brix": 0.1, "acid": "9 g/kg", "abv_percent": 0.4, "dilute": None,
        "cause": "boiled", "alone": True, "yes": True,
    },
    "simulate": {
        "drinks": [SOUR], "sd_brix": 2.0, "own_sd_brix": {"berry": 3.0}, "uncertainty_brix": 0.4, "draws": 100,
        "seed": 1,
    },
}  # fmt: skip
"""Each method with all of its arguments."""


def called(method: str) -> Callable[..., Any]:
    return balancer.load if method == "load" else getattr(BAR, method)


PAIRS: Final = [(method, name) for method, right in RIGHT.items() for name in right]


class Hostile:
    """What fails when it is looked at."""

    def __repr__(self) -> str:
        raise RuntimeError("no")

    def __float__(self) -> float:
        raise ValueError("no")


class Nowhere(tzinfo):
    """A zone that does not know."""

    def utcoffset(self, _: datetime | None, /) -> timedelta | None:
        return None

    def dst(self, _: datetime | None, /) -> timedelta | None:
        return None

    def tzname(self, _: datetime | None, /) -> str | None:
        return None


STRANGE: Final[list[Any]] = [
    None, True, False, 0, -1, 7, 10**400, -(10**5000), 1.5, float("nan"), float("inf"), -float("inf"), 1j, Decimal(54),
    Decimal("nan"), Fraction(1, 3), "", " ", "54", "\0", "\ud800", "a\nb", "x" * 5000, b"berry", bytearray(b"1"), [],
    [None], [5], ["berry", b"x"], [[54.0]], (), {}, {"berry": None}, {5: 1.0}, {"berry": "x"}, set(), {1, 2}, object(),
    object, Hostile(), len, Path("x"), date(2026, 11, 25), date.min, date.max, datetime(2026, 11, 25, 18), datetime.min,
    datetime.max, datetime(2026, 11, 25, tzinfo=Nowhere()), timedelta(1), range(3), iter([54.0]), deque([54.0]),
]  # fmt: skip
VALUES: Final = st.one_of(
    st.sampled_from(STRANGE),
    st.text(max_size=30),
    st.integers(),
    st.floats(),
    st.binary(max_size=5),
    st.datetimes(),
    st.dates(),
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.text(max_size=5),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
        max_leaves=5,
    ),
)


def allowed(hint: str, value: object) -> bool:
    """Whether an annotation, as it is written, may stand for a value; in doubt, yes."""
    plain = re.sub(r"\b(Sequence|Mapping)\[.*\]", r"\1", hint)
    is_text, is_number = isinstance(value, str), isinstance(value, int | float | Decimal | Fraction)
    return (
        (value is None and "None" in plain)
        or (isinstance(value, bool) and "bool" in plain)
        or (is_text and re.search(r"\bstr\b", plain) is not None)
        or (is_number and not isinstance(value, bool) and "float" in plain)
        or (isinstance(value, int) and not isinstance(value, bool) and "int" in plain)
        or (isinstance(value, list | tuple | set | deque | range) and "Sequence" in plain)
        or (isinstance(value, Mapping) and "Mapping" in plain)
        or (isinstance(value, datetime) and "datetime" in plain)
        or (isinstance(value, date) and not isinstance(value, datetime) and re.search(r"\bdate\b", plain) is not None)
        or (isinstance(value, Path) and "PathLike" in plain)
    )


def refused(method: str, name: str, value: object) -> BalancerError | None:
    """Ask with one argument changed. Whatever is raised and not on purpose fails the test."""
    try:
        reply = called(method)(**{**RIGHT[method], name: value})
    except BalancerError as error:
        typed = value if isinstance(value, str) and value else "\0"
        for problem in error.problems():
            assert problem.message
            assert problem.remedy
            assert "--" not in problem.message.replace(typed, "")
            assert "--" not in problem.remedy.replace(typed, "").partition("balancer ")[0]
        return error
    assert isinstance(reply, Reply | BarFolder)
    if isinstance(reply, Reply):
        reply.to_dict()
    return None


def checked(method: str, name: str, value: object) -> None:
    error = refused(method, name, value)
    hint = inspect.signature(BarFolder if method == "load" else getattr(BarFolder, method)).parameters[name].annotation
    if not allowed(hint, value):
        assert isinstance(error, UsageError), f"{method}({name}={value!r:.50})"
        (problem,) = error.problems()
        assert problem.message.startswith(f"{name}: ")
        assert problem.remedy.startswith("give ")
        assert "\n" not in str(error)


def test_every_argument_of_every_method_is_tried() -> None:
    methods = [name for name, _ in inspect.getmembers(BarFolder, inspect.isfunction) if not name.startswith("_")]
    assert {*RIGHT} == {*methods, "load"} - {"batches", "log"}  # those have none
    for method, right in RIGHT.items():
        of = inspect.signature(BarFolder if method == "load" else getattr(BarFolder, method)).parameters
        assert {*right} == {*of} - {"self"}
    for method in RIGHT:
        assert refused(method, *next(iter(RIGHT[method].items()))) is None, method


@pytest.mark.parametrize(("method", "name"), PAIRS)
def test_a_strange_value_is_told_by_its_argument(method: str, name: str) -> None:
    for value in STRANGE:
        checked(method, name, value)


@tried(400)
@given(st.sampled_from(PAIRS), VALUES)
def test_any_value_is_answered_or_refused(pair: tuple[str, str], value: object) -> None:
    checked(*pair, value)


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (lambda: balancer.load(HOUSE, at="2026-11-25"), 'at: "2026-11-25" is not a datetime; give a datetime, like '),  # type: ignore[arg-type]
        (lambda: BAR.rescale("berry", None), "brix: None is not a number; give a number"),  # type: ignore[arg-type]
        (lambda: BAR.rescale("berry", True), "brix: True is not a number; give a number"),
        (lambda: BAR.rescale("berry", "54"), 'brix: "54" is not a number; give a number'),  # type: ignore[arg-type]
        (lambda: BAR.rescale("berry", 54.0, [SOUR, 5]), "drinks: 5 is not a text; give a text"),  # type: ignore[list-item]
        (lambda: BAR.totals(5), "drink: 5 is not a text; give a text"),  # type: ignore[call-overload]
        (lambda: BAR.adjust(SOUR, sugar=-10), 'sugar: -10 is not a text; give a text like "-10%" or "18g"'),  # type: ignore[arg-type]
        (lambda: BAR.adjust(sugar="-10%"), "adjust: missing a required argument: 'drink'; it is adjust(drink, sugar, "),  # type: ignore[call-arg]
        (
            lambda: BAR.adjust(SOUR, suger="-10%"),  # type: ignore[call-arg]
            "adjust: got an unexpected keyword argument 'suger'; did you mean sugar?",
        ),
        (lambda: BAR.measure([], "berry"), "readings: there is none in it; give what the refractometer reads, like 54"),
        (lambda: BAR.measure([54.0, None], "berry"), "readings: None is not a number or a text; give a number or a t"),  # type: ignore[list-item]
        (lambda: BAR.simulate(own_sd_brix={"berry": "2"}), 'own_sd_brix["berry"]: "2" is not a number; give a number'),  # type: ignore[dict-item]
        (lambda: BAR.simulate(draws=1e3), "draws: 1000.0 is not a whole number; give a whole number"),  # type: ignore[arg-type]
        (lambda: BAR.tonight(datetime(2026, 11, 25)), "date: datetime.datetime(2026, 11, 25, 0, 0) is not a date"),
        (lambda: BAR.tonight(date(2500, 1, 1)), 'date: "2500-01-01" is not in the years 1970 to 2200; check the year'),
    ],
)  # fmt: skip
def test_it_says_the_value_and_what_is_wanted(ask: Callable[[], object], said: str) -> None:
    with pytest.raises(UsageError) as caught:
        ask()
    assert str(caught.value).startswith(said)


@pytest.mark.parametrize(
    ("ask", "told"),
    [
        (BAR.simulate, "as a standard deviation: sd_brix=2"),
        (lambda: BAR.adjust(SOUR, glass="thimble"), "add it to glasses: in house.yaml"),
        (lambda: BAR.swap(SOUR, "berry", "50 °Bx", hold="nothing"), "choose sugar, acid, volume, abv, sweetness"),
        (lambda: BAR.rescale("berry", 5.0), "correct it, or add yes=True if it is meant"),
    ],
)
def test_what_to_do_is_said_in_python(ask: Callable[[], object], told: str) -> None:
    with pytest.raises(BalancerError) as caught:
        ask()
    assert caught.value.problems()[0].remedy.endswith(told)


def test_a_name_alone_is_one_drink_and_not_its_letters() -> None:
    assert (
        BAR.simulate(SOUR, sd_brix=2.0, draws=100).to_dict() == BAR.simulate([SOUR], sd_brix=2.0, draws=100).to_dict()
    )
    assert BAR.rescale("berry", 54.0, SOUR).to_dict() == BAR.rescale("berry", 54.0, [SOUR]).to_dict()


def test_columns_and_figures_of_numpy_are_what_they_hold() -> None:
    """A notebook takes its figures from a table."""
    numpy = pytest.importorskip("numpy")
    read = numpy.array([54.4, 54.6])
    assert BAR.measure(read, "berry").to_dict() == BAR.measure([54.4, 54.6], "berry").to_dict()
    for kind in (numpy.float32, numpy.float64, numpy.int64):
        assert BAR.rescale("berry", kind(54)).to_dict() == BAR.rescale("berry", 54.0).to_dict()
    assert (
        BAR.rescale("berry", 54.0, alone=numpy.bool_(True)).to_dict()
        == BAR.rescale("berry", 54.0, alone=True).to_dict()
    )
    names = numpy.array([SOUR])
    assert BAR.rescale("berry", 54.0, names).to_dict() == BAR.rescale("berry", 54.0, [SOUR]).to_dict()
    assert called("rescale")("berry", Decimal(54)).to_dict() == BAR.rescale("berry", 54.0).to_dict()


def test_the_help_of_a_method_is_its_own() -> None:
    for name in ("totals", "adjust", "measure"):
        method = getattr(BarFolder, name)
        assert method.__name__ == name
        assert "self" in inspect.signature(method).parameters
        assert inspect.getdoc(method)
