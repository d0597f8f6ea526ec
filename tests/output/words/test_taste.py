"""What to taste first, as it is read."""

from __future__ import annotations

import pytest

from balancer.components import composition
from balancer.engine.drink.liquid import Liquid
from balancer.engine.swaps.moved import THRESHOLDS
from balancer.engine.swaps.taste import DETECTED, Tasted, Tasting
from balancer.output.words.taste import published_text, taste_steps, taste_text


def liquid(name: str) -> Liquid:
    return Liquid(name, name, composition({"water": 1.0}), 1.0, allergens=())


SWEET = Tasted(
    "sweetness", 24.5, "%", "likely noticed by most guests", liquid("fructose syrup"), "comes", 6.0, 43.0, 43.0 / 6.17,
    threshold=THRESHOLDS["sugar"],
)  # fmt: skip
UNSURE = Tasted(
    "sweetness", 10.5, "%", "likely noticed by most guests", liquid("honey"), "comes", 0.0, 21.0, 3.4, disagree=True,
    threshold=THRESHOLDS["sugar"],
)  # fmt: skip
ACID = Tasted(
    "acid", -19.0, "%", "likely noticed by a trained taster", liquid("raspberry syrup"), "goes", -19.0, -19.0, 1.38,
    sour_stays=True, threshold=THRESHOLDS["acid"],
)  # fmt: skip
STRONGER = Tasted(
    "abv", 1.36, "% vol", "may be noticed side by side", None, "volume", 1.36, 1.36, 1.2, threshold=THRESHOLDS["abv"]
)
SOURED = Tasted(
    "acid", 0.09, "g/100 ml", "likely noticed by most guests", liquid("lime cordial"), "comes", 0.09, 0.09, 13.0,
    was_none=True, threshold=DETECTED["acid"],
)  # fmt: skip
FOAM = Tasted("texture", None, None, "seen and felt", liquid("egg white"), "goes")
GONE = Tasted("flavour", None, None, "another flavour", liquid("raspberry syrup"), "goes")
COME = Tasted("flavour", None, None, "another flavour", liquid("honey"), "comes")
SMALL = Tasted("volume", -13.0, "%", "seen in the glass", None, "volume", -13.0, -13.0)


def tasting(*first: Tasted, untold: tuple[str, ...] = (), dilution_unknown: bool = False) -> Tasting:
    return Tasting(first, untold, dilution_unknown)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        (tasting(), "nothing a guest is expected to notice"),
        (tasting(SWEET, ACID), "sweetness (fructose syrup, sources +6 to +43 %), then acid −19 % (no sour pour moved)"),
        (tasting(UNSURE), "sweetness (honey, sources disagree: 0 to +21 %)"),
        (tasting(STRONGER, SMALL), "ABV +1.4 % vol (in a smaller drink), then volume −13 %"),
        (tasting(SOURED), "acid 0.09 g per 100 ml, none before (lime cordial)"),
        (tasting(FOAM, GONE, COME), "texture (egg white goes); flavour: raspberry syrup goes, honey comes"),
        (tasting(COME), "nothing a guest is expected to notice but the flavour: honey comes"),
        (tasting(untold=("acid",)), "acid cannot be told; else nothing a guest is expected to notice"),
        (tasting(ACID, untold=("sugar", "abv")), "acid −19 % (no sour pour moved); sugar and alcohol cannot be told"),
        (
            tasting(COME, untold=("sugar", "acid", "abv"), dilution_unknown=True),
            "flavour: honey comes; what is in the glass cannot be told: its dilution is unknown",
        ),
    ],
)
def test_the_row(found: Tasting, expected: str) -> None:
    assert taste_text(found) == expected


def test_what_was_asked_is_not_said_again() -> None:
    """Who asks for it less sweet knows that it is; sugar is tasted as sweetness."""
    found = tasting(SWEET, ACID, SMALL, untold=("abv",))

    assert (
        taste_text(found.besides(["sugar"]))
        == "acid −19 % (no sour pour moved), then volume −13 %; alcohol cannot be told"
    )
    assert taste_text(found.besides(["sugar", "acid", "volume", "abv"])) == "nothing else a guest is expected to notice"
    assert taste_text(found.besides(["sugar", "acid", "volume"])) == (
        "alcohol cannot be told; else nothing a guest is expected to notice"
    )


def test_nothing_is_never_said_of_what_nobody_can_tell() -> None:
    unknown = taste_text(tasting(untold=("sugar", "acid", "abv"), dilution_unknown=True))

    assert "nothing" not in unknown


def test_the_published_figures_are_those_of_what_is_listed() -> None:
    assert "noticed sweetness 4–8 %, acid 10–18 %; a guest" in published_text(tasting(SWEET, ACID))
    assert "noticed sweetness 4–8 %, ABV 1–1.2 % vol; a guest" in published_text(tasting(UNSURE, STRONGER, COME))
    assert published_text(tasting(COME)) == published_text(tasting())
    assert "noticed acid 0.0057–0.0082 g/100 ml; a guest" in published_text(tasting(SOURED))


def test_the_working_divides() -> None:
    """43 / 6.17 = 7.0 and 19 / 13.745 = 1.4."""
    assert taste_steps(tasting(SWEET, ACID))[2:] == [
        "  sweetness 43 % ÷ 6.17 % = 7 times: likely noticed by most guests",
        "  acid 19 % ÷ 13.745 % = 1.4 times: likely noticed by a trained taster",
    ]
    assert taste_steps(tasting(FOAM)) == []
