"""The working of `swap`."""

from __future__ import annotations

from balancer.engine.swaps.swap import Swap
from balancer.models.house import House
from balancer.output.words.sums import amount, grams, ratio, wrapped
from balancer.output.words.swap import poured_text
from balancer.output.words.taste import taste_steps


def swap_steps(result: Swap, house: House) -> list[str]:
    """The working: what a ml of each holds, then sugar, acid and volume as written, exactly and as poured."""
    lines = []
    for label, liquid in (("out", result.out), ("in", result.into)):
        unit = "ml" if liquid.density else "g"
        sugar, acid = (
            (liquid.sugar_g_per_ml, liquid.acid_g_per_ml) if liquid.density else (liquid.sugar_per_g, liquid.acid_per_g)
        )
        lines.append(f"{label}: a {unit} of {liquid.name} holds {ratio(sugar)} g sugar, {ratio(acid)} g acid")
    for quantity, wanted in (("sugar", result.old.sugar_g), ("acid", result.old.acid_g)):
        if wanted or quantity == "sugar":
            lines += ["", f"{quantity} as written {grams(wanted)} g{', to be held' if quantity in result.held else ''}"]
            lines += _sum_steps("exactly", quantity, result, poured=False)
            lines += _sum_steps("poured", quantity, result, poured=True)
    old, exact, new = (glass.mix.volume_ml for glass in (result.old, result.exact, result.new))
    lines += ["", f"before ice (volume model): as written {grams(old)} ml, exactly {grams(exact)}, poured {grams(new)}"]
    free = result.free_pours
    exactly = " · ".join(f"{amount(pour.exact.value)} {pour.exact.unit} {pour.liquid.name}" for pour in free)
    best = " · ".join(f"{poured_text(pour, house)} {pour.liquid.name}" for pour in free)
    lines += wrapped(f"exact pours: {exactly}")
    lines.append(f"closest match: {best}")
    return [*lines, *taste_steps(result.taste)]


def _sum_steps(label: str, quantity: str, result: Swap, *, poured: bool) -> list[str]:
    glass, terms = result.new if poured else result.exact, []
    for pour in result.pours:
        value = (pour.poured if poured else pour.exact).value
        per = pour.sugar_per_unit if quantity == "sugar" else pour.acid_per_unit
        if per and value:
            terms.append(f"{amount(value)} × {ratio(per)}")
    total = glass.sugar_g if quantity == "sugar" else glass.acid_g
    return wrapped(f"  {label}: {' + '.join(terms) or '0'} = {grams(total)} g")
