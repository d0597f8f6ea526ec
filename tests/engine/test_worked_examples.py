"""Worked examples from books, rules and bar practice, each with its own tolerance.

tests/reference/facts/worked_examples.csv holds what is given, what should come out, and how near, as
`name=value; name=value`. `ANSWERS` says how the engine answers a row; `WAITING` says why a row is not
asserted. The id of a test tells whether its row is published, derived by hand, or common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import pytest

from balancer.components import Composition, acid_as_citric_g, add_scaled, composition, scale
from balancer.engine.drink.blend import DRY_SUGAR_BRIX, WATER_BRIX, addition_g
from balancer.engine.drink.instrument import strength_from_reading
from balancer.engine.drink.jigger import Jigger
from balancer.engine.drink.liquid import ingredient_liquid, syrup_liquid
from balancer.engine.drink.totals import State, state, totals
from balancer.engine.service.bottle import bottle
from balancer.engine.service.pour import pour
from balancer.properties import refractometer, sucrose
from balancer.properties.sucrose import WATER_KG_M3
from balancer.units import US_FLUID_OUNCE_ML, Measures, parse_quantity
from tests.engine.builders import LIME, PLAIN, RUM, bar, drink, ingredient
from tests.reference.facts import facts

if TYPE_CHECKING:
    from collections.abc import Callable

Given = dict[str, str]
Answer = dict[str, float]

POUND_G: Final = 453.59237
OUNCE_AV_G: Final = POUND_G / 16.0
CUP_ML: Final = 8.0 * US_FLUID_OUNCE_ML
GALLON_ML: Final = 16.0 * CUP_ML
CUP_OF_SUGAR_G: Final = 200.0  # USDA SR28 NDB 19335

WAITING: Final = {
    "WE-09": "making a syrup from volumes: needs the bulk density of the sugar",
    "WE-11": "making a syrup from volumes: needs the bulk density of the sugar",
    "WE-41": "what tasters notice; nothing here computes it",
    "WE-48": "acid-adjusting a juice",
    "WE-49": "acid-adjusting a juice",
    "WE-50": "acid-adjusting a juice",
    "WE-51": "making an acid solution",
    "WE-52": "making a peel extract",
    "WE-53": "making a peel extract",
    "WE-60": "reading a recipe that contradicts itself",
    "WE-65": "discard dates",
    "WE-66": "discard dates of a mixture",
}
"""Rows that need what does not exist yet, or that nothing computes."""


def pairs(cell: str) -> Given:
    """The names and values of a cell."""
    return {name.strip(): value.strip() for name, _, value in (pair.partition("=") for pair in cell.split(";"))}


def number(given: Given, name: str) -> float:
    return float(given[name])


def solution(sugar_g: float, water_g: float) -> Composition:
    return composition({"sucrose": sugar_g, "water": water_g})


def syrup_g(mass_g: float, brix: float) -> Composition:
    return scale(mass_g, syrup_liquid(PLAIN, brix).per_g)


def brix_of(*parts: Composition) -> float:
    """Grams of sugar in 100 g of what several things make together."""
    mixed = together(*parts)
    return 100.0 * mixed.sugar_g / mixed.mass_g


def together(*parts: Composition) -> State:
    total = parts[0]
    for part in parts[1:]:
        total = add_scaled(total, 1.0, part)
    return state(total)


def g_per_ml(brix: float) -> float:
    density = syrup_liquid(PLAIN, brix).density
    assert density is not None
    return density


def added_g(mass_g: float, brix: float, target_brix: float, additive_brix: float) -> float:
    found = addition_g(mass_g, brix, target_brix, additive_brix)
    assert found is not None
    return found


def ratio_by_weight(given: Given) -> Answer:
    return {"brix": brix_of(solution(number(given, "sugar_g"), number(given, "water_g")))}


def sugar_in_a_pour(given: Given) -> Answer:
    volume_ml, liquid = number(given, "pour_ml"), syrup_liquid(PLAIN, number(given, "brix"))
    return {"mass_g": volume_ml * (liquid.density or 0.0), "sugar_g": volume_ml * liquid.sugar_g_per_ml}


def sugar_by_volume(given: Given) -> Answer:
    weak, strong = (syrup_liquid(PLAIN, number(given, name)).sugar_g_per_ml for name in ("weak_brix", "strong_brix"))
    return {"more_percent": 100.0 * (strong / weak - 1.0)}


def filled_to_volume(given: Given) -> Answer:
    sugar_g, volume_ml = number(given, "sugar_g"), number(given, "volume_ml")
    liquid = ingredient_liquid(ingredient("syrup", sugar=f"{1000.0 * sugar_g / volume_ml} g/l"))
    density = liquid.density or 0.0
    return {
        "density_g_per_ml": density,
        "water_g": volume_ml * density - sugar_g,
        "brix": 100.0 * liquid.sugar_per_g,
    }


def stated_density(given: Given) -> Answer:
    sugar_g, volume_ml = number(given, "sugar_g"), number(given, "volume_ml")
    stated = ingredient(
        "syrup", sugar=f"{1000.0 * sugar_g / volume_ml} g/l", density=f"{given['density_g_per_ml']} g/ml"
    )
    grams = scale(volume_ml, ingredient_liquid(stated).per_ml or ())
    return {"mass_g": sum(grams), "water_g": grams[0]}


def water_for_sugar(given: Given) -> Answer:
    return {"water_kg": added_g(number(given, "sugar_kg"), DRY_SUGAR_BRIX, number(given, "brix"), WATER_BRIX)}


def ounces_and_cups(given: Given) -> Answer:
    water_g = number(given, "water_fl_oz") * US_FLUID_OUNCE_ML * WATER_KG_M3 / 1000.0
    return {"brix": brix_of(solution(number(given, "sugar_oz_av") * OUNCE_AV_G, water_g))}


def weight_of_a_gallon(given: Given) -> Answer:
    density = g_per_ml(number(given, "brix"))
    in_air = (1.0 - 0.0012 / density) / (1.0 - 0.0012 / 8.4)  # against brass weights
    pounds = GALLON_ML * density * in_air / POUND_G
    return {"lb_per_gallon": pounds, "sucrose_lb_per_gallon": pounds * number(given, "brix") / 100.0}


def yield_of_weights(given: Given) -> Answer:
    made = state(solution(number(given, "sugar_g"), number(given, "water_g")))
    return {"volume_fl_oz": made.volume_ml / US_FLUID_OUNCE_ML}


def yield_of_equal_weights(given: Given) -> Answer:
    water_g = number(given, "water_fl_oz") * US_FLUID_OUNCE_ML * WATER_KG_M3 / 1000.0
    made = state(solution(water_g * number(given, "sugar_to_water"), water_g))
    return {"volume_fl_oz": made.volume_ml / US_FLUID_OUNCE_ML}


def cups(given: Given) -> Answer:
    water_g = number(given, "water_cups") * CUP_ML * WATER_KG_M3 / 1000.0
    made = solution(number(given, "sugar_cups") * CUP_OF_SUGAR_G, water_g)
    return {"brix": brix_of(made), "volume_cups": state(made).volume_ml / CUP_ML}


def yield_of_a_pound(given: Given) -> Answer:
    water_g = number(given, "water_fl_oz") * US_FLUID_OUNCE_ML * WATER_KG_M3 / 1000.0
    made = state(solution(number(given, "sugar_lb") * POUND_G, water_g))
    return {"volume_fl_oz": made.volume_ml / US_FLUID_OUNCE_ML}


def cordial(given: Given) -> Answer:
    added = composition({
        "sucrose": number(given, "sugar_g"),
        "citric": number(given, "citric_g"),
        "malic": number(given, "malic_g"),
        "water": number(given, "water_ml") * WATER_KG_M3 / 1000.0,
    })  # fmt: skip
    juice = scale(number(given, "lime_ml"), ingredient_liquid(LIME).per_ml or ())
    return {"volume_ml": together(added, juice).volume_ml}


def pearson_square(given: Given) -> Answer:
    names = ("weak_g", "weak_brix", "target_brix", "strong_brix")
    return {"strong_g": added_g(*(number(given, name) for name in names))}


def corrected_by_mass(given: Given) -> Answer:
    mass_g, brix, target = number(given, "mass_g"), number(given, "brix"), number(given, "target_brix")
    water_g = added_g(mass_g, brix, target, WATER_BRIX)
    return {"water_g": water_g, "final_g": mass_g + water_g}


def corrected_by_volume(given: Given) -> Answer:
    brix, target = number(given, "brix"), number(given, "target_brix")
    mass_g = number(given, "volume_ml") * g_per_ml(brix)
    what, additive = ("water_g", WATER_BRIX) if brix > target else ("sugar_g", DRY_SUGAR_BRIX)
    grams = added_g(mass_g, brix, target, additive)
    return {what: grams, "final_ml": (mass_g + grams) / g_per_ml(target)}


def millilitres_for_grams(given: Given) -> Answer:
    batch = syrup_g(number(given, "volume_ml") * g_per_ml(number(given, "brix")), number(given, "brix"))
    return {"brix": brix_of(batch, solution(0.0, number(given, "water_g")))}


def juice_to_target(given: Given) -> Answer:
    mass_g, brix = number(given, "mass_g"), number(given, "brix")
    return {
        "sugar_g": added_g(mass_g, brix, number(given, "target_brix"), DRY_SUGAR_BRIX),
        "equal_weight_brix": brix_of(syrup_g(mass_g, brix), solution(mass_g, 0.0)),
    }


def juice_and_sugar(given: Given) -> Answer:
    juice = syrup_g(number(given, "mass_g"), number(given, "brix"))
    return {"brix": brix_of(juice, solution(number(given, "sugar_g"), 0.0))}


def honey_and_water(given: Given) -> Answer:
    honey = syrup_g(number(given, "mass_g"), number(given, "brix"))
    return {"brix": brix_of(honey, solution(0.0, number(given, "water_g")))}


def new_pour(given: Given) -> Answer:
    answer = pour(number(given, "spec_ml"), number(given, "standard_brix"), number(given, "batch_brix"))
    exact_ml = answer.off.exact.value
    return {"exact_ml": exact_ml, "ratio": exact_ml / answer.off.written.value}


def moves_beyond(given: Given) -> Answer:
    """Where the nearest pour stops being the written one, to a hundredth of a °Bx."""
    spec_ml, standard, step_ml = (number(given, name) for name in ("spec_ml", "standard_brix", "step_ml"))

    def edge(direction: float) -> float:
        for hundredths in range(1, 2000):
            brix = standard + direction * hundredths / 100.0
            exact_ml = pour(spec_ml, standard, brix).off.exact.value
            if Jigger(step_ml).nearest(exact_ml, spec_ml) != spec_ml:
                return brix
        raise AssertionError("the pour never moves")

    return {"high_brix": edge(1.0), "low_brix": edge(-1.0)}


def citric_correction(given: Given) -> Answer:
    return {"add_brix": refractometer.citric_correction(number(given, "citric_percent"))}


def lemon_juice_solids(given: Given) -> Answer:
    strength = strength_from_reading(number(given, "reading_brix"), number(given, "citric_percent"))
    return {"total_percent": strength + number(given, "citric_percent"), "strength_percent": strength}


def acid_in_an_ounce(given: Given) -> Answer:
    ounce_ml = Measures(ounce=30.0).ml(parse_quantity("1 oz"))
    answer = {}
    for fruit in ("lemon", "lime"):
        juice = ingredient_liquid(ingredient(fruit, sugar="20 g/kg", acid=f"{given[f'{fruit}_g_per_l']} g/l"))
        answer[f"{fruit}_g_per_oz"] = ounce_ml * acid_as_citric_g(juice.per_ml or ())
    return answer


def ounces_in_ml(given: Given) -> Answer:
    measures = Measures(ounce=number(given, "ounce_ml"))
    ml = {name: measures.ml(parse_quantity(f"{given[name]} oz")) for name in given if name != "ounce_ml"}
    found = {"ml": ml["oz"], "large_ml": ml.get("large_oz", 0.0)}
    return found | {"in_two_ml": ml.get("measure_oz", 0.0) + ml.get("barspoon_oz", 0.0)}


def water_on_a_scale(given: Given) -> Answer:
    grams = number(given, "fl_oz") * US_FLUID_OUNCE_ML * (syrup_liquid(PLAIN, 1e-9).density or 0.0)
    return {"oz_av": grams / OUNCE_AV_G}


def fluid_ounces_weighed(given: Given) -> Answer:
    wanted = number(given, "oz_av")
    delivered = wanted * OUNCE_AV_G / g_per_ml(number(given, "brix")) / US_FLUID_OUNCE_ML
    return {"fl_oz": delivered, "short_percent": 100.0 * (1.0 - delivered / wanted)}


def aperitif_and_whiskey(given: Given) -> Answer:
    weak = ingredient("aperitif", abv=f"{given['weak_abv']} %", sugar=f"{given['weak_sugar_g_per_l']} g/l")
    strong = ingredient("whiskey", abv=f"{given['strong_abv']} %", sugar="0 g/l")
    densities = [ingredient_liquid(spirit).density or 0.0 for spirit in (weak, strong)]
    return {"apart_g": number(given, "fl_oz") * US_FLUID_OUNCE_ML * (densities[0] - densities[1])}


def water_in_a_bottle(given: Given) -> Answer:
    gin = ingredient("gin", abv="47 %", sugar="0 g/l")
    vermouth = ingredient("dry vermouth", abv="18 %", sugar="30 g/l")
    pours = (f"{given['gin_oz']} oz gin", f"{given['vermouth_oz']} oz dry vermouth")
    spec = drink("bottled drink", *pours, method="built", dilution=f"{given['percent_of_mix']} %")
    made = totals(bar(gin, vermouth, spec, ounce="30 ml"), spec)
    assert made.served is not None
    assert made.dilution.melt_water_g is not None
    water_ml = made.dilution.melt_water_g / WATER_KG_M3 * 1000.0
    return {
        "water_oz": water_ml / 30.0,
        "total_oz": made.served.volume_ml / 30.0,
        "percent_of_glass": 100.0 * water_ml / made.served.volume_ml,
    }


def scaled_by_parts(given: Given) -> Answer:
    liquids = [ingredient(f"{place} spirit", abv="40 %", sugar="0 g/l") for place in ("first", "second", "third")]
    parts = (given["first_parts"], given["second_parts"], given["third_parts"])
    spec = drink("in parts", *[f"{n} parts {x.name}" for n, x in zip(parts, liquids, strict=True)], dilution="0 %")
    one_part = f"{number(given, 'first_oz') / number(given, 'first_parts')} oz"
    made = bottle(bar(*liquids, spec, ounce="30 ml", part=one_part), spec, serves=number(given, "serves"))
    return {
        f"{name}_oz": (line.volume_ml or 0.0) / 30.0
        for name, line in zip(("first", "second", "third"), made.lines, strict=True)
    }


def shaken_sour(given: Given) -> Answer:
    pours = (f"{given['spirit_ml']} ml gold rum", f"{given['lime_ml']} ml lime juice")
    spec = drink("sour", *pours, f"{given['syrup_ml']} ml plain syrup", dilution=f"{given['percent_of_mix']} %")
    made = totals(bar(RUM, LIME, PLAIN, spec), spec)
    assert made.served is not None
    syrup_sugar_g = made.contributions[2].sugar_g
    return {
        "volume_ml": made.served.volume_ml,
        "abv_percent": made.served.abv_percent,
        "syrup_sugar_g": syrup_sugar_g,
        "syrup_sugar_g_per_100ml": 100.0 * syrup_sugar_g / made.served.volume_ml,
    }


def saturation(given: Given) -> Answer:
    found = {name: sucrose.solubility(number(given, name)) for name in given if name.startswith("at_")}
    assert max(found["at_0_c"], found["at_5_c"], found["at_10_c"]) < number(given, "syrup_brix")
    return found


def half_dilution(given: Given) -> Answer:
    brix = number(given, "brix")
    by_weight = brix_of(syrup_g(100.0, brix), solution(0.0, 100.0))
    water_g = 100.0 * WATER_KG_M3 / 1000.0
    return {
        "by_weight_brix": by_weight,
        "by_volume_brix": brix_of(syrup_g(100.0 * g_per_ml(brix), brix), solution(0.0, water_g)),
    }


def two_batches(given: Given) -> Answer:
    batches = [syrup_g(number(given, f"{which}_g"), number(given, f"{which}_brix")) for which in ("first", "second")]
    return {"mass_g": together(*batches).mass_g, "brix": brix_of(*batches)}


def corrected_with_juice(given: Given) -> Answer:
    names = ("mass_g", "brix", "target_brix", "additive_brix")
    return {"juice_g": added_g(*(number(given, name) for name in names))}


ANSWERS: Final[dict[str, Callable[[Given], Answer]]] = {
    "WE-01": ratio_by_weight,
    "WE-02": ratio_by_weight,
    "WE-03": sugar_in_a_pour,
    "WE-04": sugar_in_a_pour,
    "WE-05": sugar_by_volume,
    "WE-06": filled_to_volume,
    "WE-07": stated_density,
    "WE-08": water_for_sugar,
    "WE-10": ounces_and_cups,
    "WE-12": weight_of_a_gallon,
    "WE-13": weight_of_a_gallon,
    "WE-14": weight_of_a_gallon,
    "WE-15": yield_of_weights,
    "WE-16": yield_of_equal_weights,
    "WE-17": cups,
    "WE-18": cups,
    "WE-19": cups,
    "WE-20": cups,
    "WE-21": yield_of_a_pound,
    "WE-22": cordial,
    "WE-23": pearson_square,
    "WE-24": corrected_by_mass,
    "WE-25": corrected_by_volume,
    "WE-26": corrected_by_volume,
    "WE-27": millilitres_for_grams,
    "WE-28": corrected_by_mass,
    "WE-29": juice_to_target,
    "WE-30": juice_and_sugar,
    "WE-31": corrected_by_mass,
    "WE-32": honey_and_water,
    "WE-33": honey_and_water,
    "WE-34": new_pour,
    "WE-35": new_pour,
    "WE-36": new_pour,
    "WE-37": new_pour,
    "WE-38": moves_beyond,
    "WE-39": moves_beyond,
    "WE-40": new_pour,
    "WE-42": citric_correction,
    "WE-43": citric_correction,
    "WE-44": citric_correction,
    "WE-45": citric_correction,
    "WE-46": lemon_juice_solids,
    "WE-47": acid_in_an_ounce,
    "WE-54": ounces_in_ml,
    "WE-55": ounces_in_ml,
    "WE-56": ounces_in_ml,
    "WE-57": water_on_a_scale,
    "WE-58": fluid_ounces_weighed,
    "WE-59": aperitif_and_whiskey,
    "WE-61": water_in_a_bottle,
    "WE-62": water_in_a_bottle,
    "WE-63": scaled_by_parts,
    "WE-64": shaken_sour,
    "WE-67": saturation,
    "WE-68": half_dilution,
    "WE-69": two_batches,
    "WE-70": corrected_with_juice,
}

ROWS = {row["id"]: row for row in facts("worked_examples")}


def kind(row: dict[str, str]) -> str:
    """What stands behind a row, for the id of its test."""
    return "common practice" if row["source"] == "common practice" else row["provenance"]


@pytest.mark.parametrize(
    "row", [ROWS[identity] for identity in ANSWERS], ids=lambda row: f"{row['id']} {row['topic']} [{kind(row)}]"
)
def test_worked_example(row: dict[str, str]) -> None:
    """The engine gives what the example does, within the example's own tolerance."""
    expected, tolerance = pairs(row["expected"]), pairs(row["tolerance"])
    answer = ANSWERS[row["id"]](pairs(row["inputs"]))

    assert expected.keys() == tolerance.keys()
    for name, value in expected.items():
        assert answer[name] == pytest.approx(float(value), abs=float(tolerance[name]), rel=0.0), name


def test_every_example_is_asserted_or_waits_with_a_reason() -> None:
    """No row is skipped in silence, and none is both asserted and waiting."""
    assert ANSWERS.keys() | WAITING.keys() == ROWS.keys()
    assert not ANSWERS.keys() & WAITING.keys()


def test_every_example_names_its_source() -> None:
    """A row without a source would be our own word."""
    assert all(row["source"] and row["provenance"] for row in ROWS.values())
