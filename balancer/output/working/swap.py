"""The working of `swap`."""

from __future__ import annotations

from balancer.components import acid_as_citric_g
from balancer.engine.swaps.swap import Swap
from balancer.models.house import House
from balancer.output.words.sums import amount, grams, ratio, wrapped
from balancer.output.words.swap import house_line


def swap_steps(result: Swap, house: House) -> list[str]:
    """The working: what a ml of each holds, then sugar, acid and volume as written, exactly and as poured."""
    lines = []
    for label, liquid in (("out", result.out), ("in", result.into)):
        per, unit = (liquid.density, "ml") if liquid.density else (1.0, "g")
        lines.append(
            f"{label}: a {unit} of {liquid.name} holds {ratio(per * liquid.sugar_per_g)} g sugar, "
            f"{ratio(per * acid_as_citric_g(liquid.per_g))} g acid"
        )
    for quantity, wanted in (("sugar", result.old.sugar_g), ("acid", result.old.acid_g)):
        if wanted or quantity == "sugar":
            lines += ["", f"{quantity} as written {grams(wanted)} g{', to be held' if quantity in result.held else ''}"]
            lines += _sum_steps("exactly", quantity, result, poured=False)
            lines += _sum_steps("poured", quantity, result, poured=True)
    old, exact, new = (house_ml.mix.volume_ml for house_ml in (result.old, result.exact, result.new))
    lines += ["", f"before ice (volume model): as written {grams(old)} ml, exactly {grams(exact)}, poured {grams(new)}"]
    free = " · ".join(f"{amount(line.exact)} {line.liquid.name}" for line in result.lines if line.is_free)
    lines += wrapped(f"exact pours: {free} ({'ml' if result.new_line.liquid.density else 'g of the sweetener'})")
    lines.append(f"the jigger's best pours: {_free_pours(result, house)}")
    return lines


def _free_pours(result: Swap, house: House) -> str:
    return " · ".join(f"{house_line(line, house)} {line.liquid.name}" for line in result.lines if line.is_free)


def _sum_steps(label: str, quantity: str, result: Swap, *, poured: bool) -> list[str]:
    terms, total = [], 0.0
    for line in result.lines:
        held = line.liquid.sugar_per_g if quantity == "sugar" else acid_as_citric_g(line.liquid.per_g)
        per = held * (line.liquid.density or 1.0)
        pour = line.poured if poured else line.exact
        total += per * pour
        if per and pour:
            terms.append(f"{amount(pour)} × {ratio(per)}")
    return wrapped(f"  {label}: {' + '.join(terms) or '0'} = {grams(total)} g")
