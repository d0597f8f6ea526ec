"""What must hold between keys and between files, checked once everything is read."""

from __future__ import annotations

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.dilution import SHAKEN, STOP_UNWEIGHED, is_told, stops_unweighed
from balancer.engine.drink.doubts import (
    LEAST_POUR_ML,
    MOST_POUR_ML,
    acid_doubt,
    glass_doubt,
    pour_doubt,
    small_doubt,
    strength_doubt,
)
from balancer.engine.drink.liquid import Liquid, ingredient_liquid, standard_strength, syrup_liquid
from balancer.engine.drink.totals import contribute, mix_and_serve
from balancer.errors import BalancerError, CannotError
from balancer.files.yaml.document import Document, Mapping, Node, Sequence
from balancer.files.yaml.validate import like, place
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.models.methods import method_nearly
from balancer.models.names import as_word
from balancer.models.pour import Pour
from balancer.models.syrup import Syrup
from balancer.units import find_unit, format_number

_STANDARDS = ("standard", "standard reading")

ZERO_PROOF_ABV = 0.5
"""Up to this % vol an ingredient may go into a drink sold as zero proof (common practice; local rules decide)."""


# More water than there can be, in % of the mix: the published relations end at 68.7 for shaken and 46.6 for
# stirred; what ice melts is judged.
_MOST_RELATION_PERCENT = 70.0
_MOST_CHILL_PERCENT = 150.0
_MOST_ML_PER_G = 1.3
# What is poured into the glass to fill it up; anything else belongs with the ice (common practice).
_TOPPING_KINDS = ("mixer", "wine", "beer")
_JIGGER_UNITS = ("ml", "cl", "l", "oz")
_MARGIN = 1.03


def standard_rule(name: str, node: Mapping, document: Document) -> None:
    """Report a syrup whose strength is given twice or not at all."""
    given = [key for key in _STANDARDS if node.key(key)]
    if not given and any(like(key.text, _STANDARDS) for key, _ in node.entries):
        return  # a misspelt key, told as that
    if len(given) != 1:
        missing = "no strength is given" if not given else "two strengths are given"
        document.report(
            "standard", node.key(given[-1] if given else "syrup") or node, f"{missing} for {name or 'this syrup'}",
            'write "standard: 50 °Bx", or what your refractometer reads as "standard reading: 50.7 °Bx"',
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
        if liquid.acid is not None and liquid.acids and not liquid.acids.keys() <= {"citric"}:
            kind = next(iter(liquid.acids))
            remedy += f"; acid counts as citric: grams of the acid itself are written acids: {{{kind}: {liquid.acid}}}"
        document.report(code, node.key("standard reading") or node.entries[0][0], message, remedy)


def liquid_doubts(liquid: Ingredient | Syrup, node: Mapping, document: Document) -> None:
    """Report a strength or an acid that no bar has, of a liquid that is sound otherwise."""
    if isinstance(liquid, Syrup):
        told = strength_doubt(liquid.name, round(standard_strength(liquid), 1))
        remedy = "correct it; if it is meant, write it into ingredients/ with its sugar in g/kg"
        where = node.get("standard") or node.get("standard reading")
    else:
        acid = liquid.acid
        told = acid_doubt(liquid.name, acid.value) if acid is not None and acid.unit == "g/l" else None
        remedy = "correct it; if it is meant, as of a solution or a powder, write it in g/kg"
        where = node.get("acid")
    if told:
        document.report("doubt", where or node, told, remedy)


def drink_rules(drink: Drink, bar: Bar, node: Mapping, document: Document) -> None:
    """Report what a drink's pours, method and dilution cannot be together."""
    pours = node.get("pours")
    places: list[Node] = list(pours.items) if isinstance(pours, Sequence) else [pours or node] * len(drink.pours)
    told = len(document.found)
    filled = [  # a list refused as a whole gave no pours
        _pour_rules(pour, drink, bar, where, document) for pour, where in zip(drink.pours, places, strict=False)
    ]
    if drink.glass and len(document.found) == told:
        _glass_rule(drink, bar, sum(filled), node, document)
    if drink.weighed and drink.weighed.after <= drink.weighed.before:
        before, after = format_number(drink.weighed.before), format_number(drink.weighed.after)
        document.report(
            "weighed", place(node, ("weighed", "after")), f"{after} g after the ice is not more than {before} g before",
            "weigh the pours before the ice, and the strained drink after it",
        )  # fmt: skip
    if stops_unweighed(drink):
        document.report("chill-warm", place(node, ("chill", "stop")), *STOP_UNWEIGHED)
        return
    if drink.chill and drink.chill.stop is None and drink.way != SHAKEN:
        document.report(
            "chill-stop", place(node, ("chill",)), f'"{drink.method}" does not say how cold the drink gets',
            "add where it is strained, like chill: {stop: -2 °C}; only a shaken drink gets as cold as it can",
        )  # fmt: skip
        return
    if not is_told(drink, pours_ice=False) and not is_told(drink, pours_ice=_pours_ice(drink, bar)):
        _method_rule(drink, node, document)


def _method_rule(drink: Drink, node: Mapping, document: Document) -> None:
    """Doubt a method of which nothing says how much water it adds, and which is nearly one that does."""
    near = method_nearly(drink.method)
    if near:
        document.report(
            "doubt", node.get("method") or node, f'"{drink.method}" is no method known here',
            f'did you mean "{near}"? If it is meant, say how much water it adds, like dilution: 20 %',
        )  # fmt: skip


def _pours_ice(drink: Drink, bar: Bar) -> bool:
    return any(pour.of in bar.specs.ingredients and bar.specs.ingredients[pour.of].melts for pour in drink.pours)


def _pour_rules(pour: Pour, drink: Drink, bar: Bar, where: Node, document: Document) -> float:
    """Report what is wrong or doubtful about one pour. Returns the most that it fills in a drink, ml."""
    if pour.of not in bar.specs.ingredients and pour.of not in bar.specs.syrups:
        return 0.0  # its own problem is told where it is
    liquid = bar.liquid(pour.of)
    abv = bar.specs.liquid(pour.of).abv
    if drink.zero_proof and abv is None:
        document.report(
            "zero-proof-unknown", where, f"{drink.name} is marked zero proof, and {liquid.name} tells no alcohol",
            "write its abv into its file, 0 % when it holds no alcohol, or its kind, like kind: mixer",
        )  # fmt: skip
    elif drink.zero_proof and abv is not None and abv > ZERO_PROOF_ABV:
        document.report(
            "zero-proof", where, f"{drink.name} is marked zero proof, and {liquid.name} has {abv:g} % vol",
            "delete it, or delete zero proof: true",
        )  # fmt: skip
    try:
        ml, grams = bar.amount(pour, liquid)
    except CannotError as error:
        document.report(error.code, where, error.message, error.remedy)
        return 0.0
    if (grams if ml is None else ml) > MOST_POUR_ML:
        _doubt_pour(drink, pour, *((grams, "g") if ml is None else (ml, "ml")), liquid, bar, where, document)
    elif ml is not None and ml < LEAST_POUR_ML:
        _doubt_small(drink, pour, ml, liquid, where, document)
    # Where the file gives a density, what is in it may fill more by itself: strong alcohol the most for its weight.
    return _MOST_ML_PER_G * grams if ml is None else max(ml, grams)


def _doubt_small(drink: Drink, pour: Pour, ml: float, liquid: Liquid, where: Node, document: Document) -> None:
    if pour.amount.unit not in _JIGGER_UNITS:
        return
    told = small_doubt(liquid.name, str(pour.amount), ml)
    if told:
        remedy = "correct it; if it is meant, write it in dashes or drops"
        document.report("doubt", where, f"{drink.name}: {told}", remedy)


def _doubt_pour(
    drink: Drink, pour: Pour, size: float, unit: str, liquid: Liquid, bar: Bar, where: Node, document: Document
) -> None:
    amount = pour.amount
    if (amount.value <= 1.0 and find_unit(amount.unit) is None) or liquid.melts:
        return  # one can, one egg, a cup of ice: no point is lost
    told = pour_doubt(liquid.name, size, unit, is_top=liquid.is_top if pour.top is None else pour.top)
    if told:
        document.report("doubt", where, f"{drink.name}: {told}", _pour_remedy(drink, pour, liquid, bar))


def _pour_remedy(drink: Drink, pour: Pour, liquid: Liquid, bar: Bar) -> str:
    """What to do about so large a pour: only what tops a drink up may go in after the ice, or the mix gets stronger."""
    one = bar.specs.ingredients.get(pour.of)
    if one is not None and (one.top or one.kind in _TOPPING_KINDS):
        said = f"{{pour: {format_number(pour.amount.value)} {pour.amount.unit}, of: {liquid.name}, top: true}}"
        return f"correct it; if it is meant, say so: {said}"
    return f"correct it to what one serve has; for many at once: balancer bottle {as_word(drink.name)} --serves N"


def _glass_rule(drink: Drink, bar: Bar, poured_ml: float, node: Mapping, document: Document) -> None:
    """Report a drink that is more than its glass holds. It is worked out only where it could be."""
    glass_ml = bar.glass_ml(drink.glass)
    if glass_ml is None or _most_ml(drink, poured_ml) <= glass_ml:
        return
    if any(bar.specs.find_liquid(pour.of) is None for pour in drink.pours):
        return
    try:
        mix, _, served = mix_and_serve(drink, contribute(bar, drink, {}, {}))
    except BalancerError:
        return  # told by whoever asks for it
    told = glass_doubt(drink.name, (served or mix).volume_ml, drink.glass or "", glass_ml)
    if told:
        remedy = "correct its pours or its glass; glasses: in house.yaml says how much each holds"
        document.report("doubt", node.get("glass") or node, told, remedy)


def _most_ml(drink: Drink, poured_ml: float) -> float:
    """More than a drink can fill, from the volumes it pours: nearly all that is mixed shrinks."""
    if drink.weighed is not None:
        return _MARGIN * (poured_ml + max(drink.weighed.after - drink.weighed.before, 0.0))
    percent = drink.dilution
    if percent is None:
        percent = _MOST_CHILL_PERCENT if drink.chill is not None else _MOST_RELATION_PERCENT
    return _MARGIN * poured_ml * (1.0 + percent / 100.0)
