"""What must hold between keys and between files, checked once everything is read."""

from __future__ import annotations

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.dilution import SHAKEN, is_told
from balancer.engine.drink.liquid import ingredient_liquid, standard_strength, syrup_liquid
from balancer.errors import BalancerError, CannotError
from balancer.files.yaml.document import Document, Mapping, Node, Sequence
from balancer.files.yaml.validate import like, place
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.models.pour import Pour
from balancer.models.syrup import Syrup
from balancer.units import format_number

_STANDARDS = ("standard", "standard reading")

ZERO_PROOF_ABV = 0.5
"""Up to this % vol an ingredient may go into a drink sold as zero proof (common practice; local rules decide)."""


def standard_rule(name: str, node: Mapping, document: Document) -> None:
    """Report a syrup whose strength is given twice or not at all."""
    given = [key for key in _STANDARDS if node.key(key)]
    if not given and any(like(key.text, _STANDARDS) for key, _ in node.entries):
        return  # a misspelt key, told as that
    if len(given) != 1:
        missing = "no strength is given" if not given else "two strengths are given"
        document.report(
            "standard", node.key(given[-1] if given else "syrup") or node, f"{missing} for {name or 'this syrup'}",
            'write "standard: 50 °Bx", or what your instrument shows as "standard reading: 50.7 °Bx"',
        )  # fmt: skip


def liquid_rule(liquid: Ingredient | Syrup, node: Mapping, document: Document) -> None:
    """Report a composition that no liquid can have."""
    try:
        if isinstance(liquid, Ingredient):
            ingredient_liquid(liquid)
        elif (liquid.standard is None) != (liquid.standard_reading is None):
            syrup_liquid(liquid, standard_strength(liquid))
    except BalancerError as error:
        problem = error.problems()[0]
        code, message = problem.code, problem.message
        if not isinstance(error, CannotError):  # a formula's range is no bar's word for it
            code, message = "impossible", f"{liquid.name} cannot be right: {message}"
        remedy = problem.remedy or "check its abv, sugar, acid and density"
        document.report(code, node.key("standard reading") or node.entries[0][0], message, remedy)


def drink_rules(drink: Drink, bar: Bar, node: Mapping, document: Document) -> None:
    """Report what a drink's pours, method and dilution cannot be together."""
    pours = node.get("pours")
    places: list[Node] = list(pours.items) if isinstance(pours, Sequence) else [pours or node] * len(drink.pours)
    for pour, where in zip(drink.pours, places, strict=False):  # a list refused as a whole gave no pours
        _pour_rules(pour, drink, bar, where, document)
    if drink.weighed and drink.weighed.after <= drink.weighed.before:
        before, after = format_number(drink.weighed.before), format_number(drink.weighed.after)
        document.report(
            "weighed", place(node, ("weighed", "after")), f"{after} g after the ice is not more than {before} g before",
            "weigh the pours before the ice, and the strained drink after it",
        )  # fmt: skip
    if drink.chill and drink.chill.stop is None and drink.method.casefold() != SHAKEN:
        document.report(
            "chill-stop", place(node, ("chill",)), f'"{drink.method}" does not say how cold the drink gets',
            "add where it is strained, like chill: {stop: -2 °C}; only a shaken drink gets as cold as it can",
        )  # fmt: skip
        return
    pours_ice = any(pour.of in bar.specs.ingredients and bar.specs.ingredients[pour.of].melts for pour in drink.pours)
    if not is_told(drink, pours_ice=pours_ice):
        document.report(
            "dilution-missing", node.get("method") or node, f'nothing says how much water "{drink.method}" adds',
            "add a line like dilution: 20 %  (water in % of the mix), or weigh one drink before and after",
        )  # fmt: skip


def _pour_rules(pour: Pour, drink: Drink, bar: Bar, where: Node, document: Document) -> None:
    if pour.of not in bar.specs.ingredients and pour.of not in bar.specs.syrups:
        return  # its own problem is told where it is
    liquid = bar.specs.liquid(pour.of)
    if drink.zero_proof and liquid.abv > ZERO_PROOF_ABV:
        document.report(
            "zero-proof", where, f"{drink.name} is marked zero proof, and {liquid.name} has {liquid.abv:g} % vol",
            "take it out, or take out zero proof: true",
        )  # fmt: skip
    try:
        bar.amount(pour, bar.liquid(pour.of))
    except CannotError as error:
        document.report(error.code, where, error.message, error.remedy)
