"""What a simulation says in words: on the page in its language; on the screen and in JSON in English."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.engine.simulate.result import Courses, SimulatedDrink, SimulatedSyrup, Simulation
from balancer.output.paper.language import Words
from balancer.output.words.look import most as room_for
from balancer.output.words.numbers import trim

_NAMED: Final = 3


def sentence(result: Simulation, words: Words) -> str:
    """The answer. It holds the name of a drink where that is the only one told of."""
    figures = figures_text(result.out, words)
    if result.is_most:  # none at all, and under 1, cannot be less
        figures = [words("simulate.at-most", figure=each) if each.strip("0").isdigit() else each for each in figures]
    as_written, new_pours, corrected = figures
    said = {"as_written": as_written, "new_pours": new_pours, "corrected": corrected}
    if len(result.drinks) == 1:
        return words("simulate.said-one", drink=result.drinks[0].drink.name, **said)
    return words("simulate.said", **said)


def figures_text(out: Courses, words: Words) -> list[str]:
    """What is out of tolerance by each course, of 100."""
    return [of_100(figure, words) for figure in out]


def of_100(figure: float, words: Words) -> str:
    """How many of 100; a few are never none, and nearly all never all.

    >>> from balancer.output.paper.language import words_of
    >>> [of_100(figure, words_of("en")) for figure in (0.0, 0.2, 31.4, 99.7, 100.0)]
    ['0', 'under 1', '31', 'over 99', '100']
    """
    if 0.0 < figure < 0.5:
        return words("simulate.under-one")
    if 99.5 <= figure < 100.0:
        return words("simulate.over-99")
    return trim(figure, 0)


def courses_text(words: Words) -> tuple[str, str, str]:
    """What may be done, in the order of the figures."""
    return words("simulate.as-written"), words("simulate.new-pours"), words("simulate.corrected")


def syrup_text(one: SimulatedSyrup, words: Words) -> str:
    """A syrup and how strong it comes out."""
    return words("simulate.with", syrup=one.spread.syrup.name, strength=strength_text(one, words))


def drink_text(one: SimulatedDrink, words: Words) -> str:
    """A drink, and whether its figures are the most they can be."""
    return words("simulate.most-of", drink=one.drink.name) if one.is_most else one.drink.name


def missing_text(result: Simulation, lost: Sequence[str], words: Words) -> list[str]:
    """What is not told, and why, a sentence a reason. lost: names of drinks that did not load."""
    said = []
    varying = [one.drink.name for one in result.untold if one.syrups]
    if varying:
        few = [f"{syrup.name} ({number})" for syrup, number in result.too_few]
        told = {"drinks": words.some(varying, room_for(_NAMED)), "syrups": words.some(few, room_for(_NAMED))}
        said.append(words("simulate.too-few", **told))
    said += [words("simulate.cannot", drink=one.drink.name, why=one.why) for one in result.untold if not one.syrups]
    return said + ([words("simulate.lost", drinks=words.some(lost, room_for(_NAMED)))] if lost else [])


def strength_text(one: SimulatedSyrup, words: Words) -> str:
    """How strong a syrup comes out: its mean, and two standard deviations to either side."""
    mean, spread = (words.number(trim(value, 1)) for value in (one.spread.mean_brix, one.spread.plus_minus_brix))
    return words("simulate.strength", mean=mean, spread=spread)


def assumed(result: Simulation, words: Words) -> list[str]:
    """What was assumed, a sentence each, and how many draws it took."""
    said = [
        words("simulate.out", tolerance=_tolerance(result, words)),
        words("simulate.spread", spreads=_spreads(result, words)),
        words("simulate.reading", off=_reading(result, words)),
        words("simulate.weighed" if result.weighs else "simulate.by-eye"),
    ]
    if result.doubtful:
        said.append(words("simulate.doubted", number=of_100(result.doubtful, words)))
    said += [steady_text(result, words)] if result.steady else []
    return [*said, _draws(result, words)]


def steady_text(result: Simulation, words: Words) -> str:
    """Which drinks do not count, because they pour no syrup."""
    named = words.some([drink.name for drink in result.steady], room_for(_NAMED))
    return words("simulate.steady", drinks=named)


def assumed_briefly(result: Simulation, words: Words) -> str:
    """The same in a row."""
    return words(
        "simulate.briefly",
        tolerance=_tolerance(result, words),
        spreads=_spreads(result, words),
        off=_reading(result, words),
        draws=_draws(result, words),
    )


def _tolerance(result: Simulation, words: Words) -> str:
    return words.number(trim(result.tolerance_percent, 1))


def _spreads(result: Simulation, words: Words) -> str:
    logged = len(result.logged)
    given = len(result.syrups) - logged
    said = [words.count("simulate.logged", logged)] if logged else []
    return words.row(said + ([words.count("simulate.given", given)] if given else []))


def _draws(result: Simulation, words: Words) -> str:
    chance = words.number(trim(result.by_chance_percent, 1))
    draws = f"{result.draws:,}".replace(",", "\N{NO-BREAK SPACE}")
    return words("simulate.draws", draws=draws, seed=result.seed, chance=chance)


def _reading(result: Simulation, words: Words) -> str:
    least, most = (words.number(trim(value, 1)) for value in result.reading_brix)
    return f"±{least}" if least == most else f"±{least}–{most}"
