"""A strength from readings: published corrections and hand calculations, then what it means."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import inf, nan, sqrt
from typing import Any

import pytest

from balancer.engine.batch.events import Stamp
from balancer.engine.drink.amount import Amount, AmountUnit
from balancer.engine.prep.measure import Measurement, judge, known_of, log_draft, measure, open_batch_of
from balancer.engine.prep.readings import Diluted, Readings, propose, uncertainty_of
from balancer.errors import CannotError, OutOfRangeError, UsageError
from balancer.models.batch import Batch, BatchState
from balancer.models.house import Instrument
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, RUM, SOUR, bar, drink, syrup
from tests.reference.facts import facts


def refractometer(scale: str = "0-90", **keys: float | bool) -> Instrument:
    return Instrument.model_validate({"scale": f"{scale} °Bx", **keys})


HAND = refractometer("0-55", division=0.5, accuracy=0.5)
"""A hand refractometer as its sheet says."""
UNCOMPENSATED = refractometer(division=0.5, atc=False)
EXAMPLES = {row["id"]: row for row in facts("worked_examples")}
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def seen(*shown: float, instrument: Instrument = HAND, **known: Any) -> Readings:
    return Readings(shown, instrument, **known)


def mixed(sample: float, water: float, unit: AmountUnit = "g") -> Diluted:
    return Diluted(Amount(sample, unit), Amount(water, unit))


def brix_of(*shown: float, **known: Any) -> float:
    return measure(seen(*shown, **known)).strength.value


def given(identity: str, name: str) -> float:
    """A number that a worked example gives or expects."""
    cells = f"{EXAMPLES[identity]['inputs']};{EXAMPLES[identity]['expected']}"
    return float(dict(pair.split("=") for pair in cells.replace(" ", "").split(";"))[name])


def batch(identity: str = "BER-1", state: BatchState = "open", *readings: float, **keys: Any) -> Batch:
    nothing: dict[str, Any] = dict.fromkeys(("uncertainty", "cause", "mass", "made", "discard", "by", "opened"))
    nothing |= dict.fromkeys(("acid", "note")) | {"verified": True, "parts": ()}
    last = readings[-1] if readings else None
    return Batch(
        **{**nothing, "id": identity, "liquid": BERRY.id, "state": state, "brix": last, "readings": readings, **keys}
    )


# What the number is


def test_a_plain_reading_is_the_strength() -> None:
    found = measure(seen(50.3))
    assert found.strength.value == 50.3
    assert found.corrections == (0.0, 0.0, 0.0, 0.0, 1.0)
    assert found.warnings == ()


def test_the_mean_counts_and_the_zero_comes_off() -> None:
    """(50 + 50.5 + 51)/3 - 0.4, by hand."""
    found = measure(seen(50.0, 50.5, 51.0, zero_brix=0.4))
    assert found.strength.value == pytest.approx(50.1, abs=1e-12)
    assert found.corrections.zero == 0.4


@pytest.mark.parametrize("identity", ["WE-42", "WE-43", "WE-44", "WE-45"])
def test_acid_by_the_citrus_table(identity: str) -> None:
    """The table gives total solids; the acid itself, which sweetens nothing, comes off."""
    percent, added = given(identity, "citric_percent"), given(identity, "add_brix")
    found = measure(seen(50.0, acid=Quantity(10.0 * percent, "g/kg")))
    assert found.corrections.acid == pytest.approx(added - percent, abs=0.015)
    assert found.strength.value == pytest.approx(50.0 + added - percent, abs=0.015)


def test_lemon_juice_is_hardly_sweet() -> None:
    """WE-46: it reads 6.0, of which 4.5 % is acid; 2.4 % is left."""
    found = brix_of(given("WE-46", "reading_brix"), acid=Quantity(10.0 * given("WE-46", "citric_percent"), "g/kg"))
    assert found == pytest.approx(given("WE-46", "strength_percent"), abs=0.05)


def test_invert_sugar_reads_low() -> None:
    """AOAC 932.14 (from memory): 0.022 for every % of invert sugar in a strong syrup."""
    found = measure(seen(70.0, instrument=refractometer(), inverted_fraction=0.5))
    assert found.corrections.invert == pytest.approx(35.0 * 0.022, abs=1e-9)


@pytest.mark.parametrize(("temperature", "table"), [(16.0, -0.31), (10.0, -0.74)])
def test_temperature_without_compensation(temperature: float, table: float) -> None:
    """OIV-MA-AS2-02, Table I, 50 °Bx."""
    found = measure(seen(50.0, instrument=UNCOMPENSATED, temperature_c=temperature))
    assert found.corrections.temperature == pytest.approx(table, abs=0.024)


def test_temperature_with_compensation_corrects_nothing() -> None:
    assert measure(seen(50.0, temperature_c=28.0)).corrections.temperature == 0.0


def test_half_dilution_by_weight_is_doubled() -> None:
    """WE-68: 60 °Bx with its weight of water reads 30.0."""
    shown = given("WE-68", "by_weight_brix")
    found = measure(seen(shown, diluted=mixed(100.0, 100.0)))
    assert found.corrections.dilution_factor == 2.0
    assert found.strength.value == given("WE-68", "brix") == 60.0
    assert found.claimed_brix is None


def test_half_dilution_by_volume_is_not_doubled() -> None:
    """WE-68: 60 °Bx with its volume of water reads 33.8; doubling would claim 67.6."""
    found = measure(seen(given("WE-68", "by_volume_brix"), diluted=mixed(30.0, 30.0, "ml")))
    assert found.strength.value == pytest.approx(given("WE-68", "brix"), abs=0.1)
    assert found.claimed_brix == pytest.approx(67.6, abs=0.1)
    assert found.warnings == ("by volume the factor is 1.78, not 2: times 2 would have claimed 67.6 °Bx",)


def test_a_rich_syrup_with_its_volume_of_water() -> None:
    """Densities at 20 °C, 66.67 °Bx 1.3265 and water 0.9982 g/ml: it reads 66.67 x 1.3265/(1.3265 + 0.9982)."""
    assert brix_of(66.67 * 1.3265 / 2.3247, diluted=mixed(50.0, 50.0, "ml")) == pytest.approx(66.67, abs=0.03)


def test_a_weighed_sample_in_a_poured_volume_of_water() -> None:
    """50 g of sample and 50 ml of water, 49.91 g: 99.91/50."""
    found = measure(seen(30.0, diluted=Diluted(Amount(50.0, "g"), Amount(50.0, "ml"))))
    assert found.corrections.dilution_factor == pytest.approx(99.91 / 50.0, abs=1e-4)
    assert found.claimed_brix is None


def test_corrections_are_those_of_what_is_on_the_prism() -> None:
    """0.8 % acid, halved: the citrus table adds 0.08 at 0.40 %, so twice 30 + 0.08 - 0.40."""
    found = measure(seen(30.0, acid=Quantity(8.0, "g/kg"), diluted=mixed(100.0, 100.0)))
    assert found.acid_percent == pytest.approx(0.4)
    assert found.corrections.acid == pytest.approx(0.08 - 0.40, abs=0.005)
    assert found.strength.value == pytest.approx(2.0 * (30.0 + 0.08 - 0.40), abs=0.01)


def test_acid_by_the_litre_needs_the_density() -> None:
    """12.296 g/l in a syrup of 1.2296 g/ml (50 °Bx, standard tables) is 1 %: the table adds 0.20."""
    assert brix_of(50.8, acid=Quantity(12.296, "g/l")) == pytest.approx(50.0, abs=0.016)


def test_acid_weighs_too() -> None:
    """50 °Bx and 4 % acid, as dense as 54 °Bx (1.2519 g/ml), with as many ml of water (0.9982): D = 1.7973.

    On the prism 27.82 of sugar and 2.2256 of acid, which 21 CFR 146.132 says reads 0.4395 low: 29.61.
    """
    found = brix_of(29.61, acid=Quantity(40.0, "g/kg"), diluted=mixed(30.0, 30.0, "ml"))
    assert found == pytest.approx(50.0, abs=0.03)


# How sure it is


def test_a_single_reading() -> None:
    """u² = division²/12 + accuracy²/3, so 0.3227 for 0.5 and 0.5."""
    found = measure(seen(50.3))
    assert found.strength.uncertainty == pytest.approx(sqrt(0.25 / 12.0 + 0.25 / 3.0), rel=1e-12)
    assert found.plus_minus_brix == pytest.approx(0.6455, abs=1e-4)
    assert uncertainty_of(HAND) == found.strength.uncertainty


def test_accuracy_is_the_division_unless_stated() -> None:
    instrument = refractometer("0-55", division=0.2)
    assert measure(seen(50.3, instrument=instrument)).strength.budget["accuracy"] == pytest.approx(0.2 / sqrt(3.0))


def test_several_readings_bring_their_spread() -> None:
    """50, 50.5, 51: a standard deviation of 0.5, so 0.5²/3 more."""
    found = measure(seen(50.0, 50.5, 51.0))
    assert found.strength.budget["spread"] == pytest.approx(0.5 / sqrt(3.0))
    assert found.strength.uncertainty == pytest.approx(sqrt(0.25 / 12.0 + 0.25 / 3.0 + 0.25 / 3.0))
    assert "spread" not in measure(seen(50.0, 50.0)).strength.budget


def test_a_dilution_by_weight_multiplies_it() -> None:
    """D² of the reading, and ((D - 1)/D)² of the relative weighing errors: 66.8 °Bx from 100.0 g + 100.0 g."""
    found = measure(seen(33.4, diluted=mixed(100.0, 100.0), scale_division_g=1.0))
    weighing = 66.8 * 0.5 * sqrt(2.0) * (1.0 / sqrt(12.0)) / 100.0
    assert found.strength.uncertainty == pytest.approx(sqrt(4.0 * (0.25 / 12 + 0.25 / 3) + weighing**2), rel=1e-6)


def test_a_finer_scale_costs_less() -> None:
    coarse, fine = (measure(seen(33.4, diluted=mixed(20.0, 20.0), scale_division_g=g)) for g in (1.0, 0.1))
    assert abs(coarse.strength.budget["sample"]) == pytest.approx(10.0 * abs(fine.strength.budget["sample"]), rel=1e-4)


@pytest.mark.parametrize("part", ["sample", "water"])
def test_a_jigger_is_good_to_a_millilitre(part: str) -> None:
    """±1 ml is a limit (common practice): the same as pouring 1 ml more and less, over 2 √3."""
    diluted = mixed(30.0, 30.0, "ml")
    amount = getattr(diluted, part)

    def known(off_ml: float) -> Readings:
        moved = diluted._replace(**{part: amount._replace(value=30.0 + off_ml)})
        return seen(35.8, zero_brix=2.0, diluted=moved)

    more, less = (measure(known(off_ml)).strength.value for off_ml in (1.0, -1.0))
    budget = measure(known(0.0)).strength.budget
    assert abs(budget[part]) == pytest.approx(abs(more - less) / (2.0 * sqrt(3.0)), rel=0.01)


def test_what_makes_most_of_it() -> None:
    def mostly(measurement: Measurement) -> str | None:
        return measurement.mostly[0] if measurement.mostly else None

    assert mostly(measure(seen(33.8, diluted=mixed(30.0, 30.0, "ml")))) == "dilution"
    assert mostly(measure(seen(33.8, diluted=mixed(100.0, 100.0)))) == "instrument"
    assert mostly(measure(seen(48.0, 50.0, 52.0))) == "spread"
    assert mostly(measure(seen(49.6, 50.0, 50.4, instrument=refractometer(division=0.4), abv_percent=1.0))) is None


# What to know


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        (seen(50.0, temperature_c=31.0), "31 °C is too warm"),
        (seen(50.0, temperature_c=9.0), "9 °C is colder than instruments compensate for"),
        (seen(50.0, instrument=UNCOMPENSATED, temperature_c=23.0), "above 22 °C is not checked against a print"),
        (seen(55.0), "55 is the end of your refractometer"),
        (seen(54.8), "54.8 is the end of your refractometer"),
        (seen(60.0), "60 is beyond your refractometer, which ends at 55"),
        (seen(40.0, instrument=refractometer("45-82")), "40 is below your refractometer, which begins at 45"),
        (seen(48.0, 50.0), "the two readings are 2.0 °Bx apart"),
        (seen(50.0, 50.5, 54.0), "54 stands apart from the other readings, whose mean is 50.2"),
        (seen(50.0, abv_percent=0.5), "read before the spirit goes in"),
        (seen(53.0, acid=Quantity(34.0, "g/kg")), "as in juice; by the mixing of refractive indices it is 49.8 °Bx"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_warnings(readings: Readings, said: str) -> None:
    (warning,) = measure(readings).warnings
    assert said in warning


@pytest.mark.parametrize(
    "readings",
    [
        seen(50.0, temperature_c=10.0),
        seen(50.0, temperature_c=30.0),
        seen(50.0, instrument=UNCOMPENSATED, temperature_c=9.0),
        seen(54.7),
        seen(49.5, 50.5),
        seen(50.0, 50.5, 51.0),
        seen(45.0, instrument=refractometer("45-82")),
        seen(50.0, acid=Quantity(9.0, "g/kg")),
    ],
)
def test_nothing_to_warn_of(readings: Readings) -> None:
    assert measure(readings).warnings == ()


def test_a_little_alcohol_widens() -> None:
    """[CRC]: ethanol of 5 % by mass, 6.25 % vol, reads 2.09 °Bx; so 0.5 % vol reads 0.167, always more and never less.

    JCGM 100:2008, F.2.4.5 (from memory): an effect that is known and not corrected for counts whole.
    """
    found = measure(seen(50.0, abv_percent=0.5)).strength
    assert found.budget["alcohol"] == pytest.approx(0.5 * 2.09 / 6.25, rel=0.01)
    assert found.uncertainty > measure(seen(50.0)).strength.uncertainty


@pytest.mark.parametrize("zero", [0.4, -0.5])
def test_a_zero_was_read_to_a_division_as_well(zero: float) -> None:
    """A difference of two readings, each to 0.5 °Bx: 0.5 ÷ √12 twice. Without a zero there is one."""
    found = measure(seen(50.0, zero_brix=zero)).strength
    assert found.budget["zero"] == found.budget["division"] == pytest.approx(0.5 / sqrt(12.0))
    assert "zero" not in measure(seen(50.0)).strength.budget
    diluted = measure(seen(25.0, zero_brix=zero, diluted=mixed(100.0, 100.0))).strength
    assert diluted.budget["zero"] == pytest.approx(2.0 * 0.5 / sqrt(12.0), rel=1e-6)


@pytest.mark.parametrize("acid_g_per_kg", [5.0, 9.0, 20.0, 40.0])
def test_the_plus_minus_covers_both_ways_to_count_acid(acid_g_per_kg: float) -> None:
    """A limit of what lies between them is 2 ÷ √3 of it as ±: with a perfect instrument the other is within."""
    perfect = refractometer(division=0.001, accuracy=0.001)
    found = measure(seen(50.0, acid=Quantity(acid_g_per_kg, "g/kg"), instrument=perfect))

    assert found.by_mixing is not None
    apart = found.strength.value - found.by_mixing.brix
    assert apart == pytest.approx(0.14 * acid_g_per_kg / 10.0, rel=0.1)  # 0.94 against 0.80 a %
    assert apart < found.plus_minus_brix
    assert found.strength.budget["convention"] == pytest.approx(apart / sqrt(3.0))
    assert found.strength.budget["acid"] == pytest.approx(0.1 * abs(found.corrections.acid) / sqrt(3.0))


def test_the_acid_in_a_diluted_sample_is_counted_at_what_it_is_on_the_prism() -> None:
    """2 % acid in 50 °Bx, halved: 1 % in 25 °Bx reads 0.89 by mixing, and the difference is doubled."""
    found = measure(seen(25.5, acid=Quantity(20.0, "g/kg"), diluted=mixed(100.0, 100.0)))

    assert found.by_mixing is not None
    assert found.by_mixing.acid == pytest.approx(-0.89, abs=0.01)
    assert found.strength.value - found.by_mixing.brix == pytest.approx(2.0 * (0.89 - 0.80), abs=0.02)


def test_acid_where_no_index_is_to_be_had_is_counted_by_the_table_alone() -> None:
    """At the end of the scale of indices the mixture would read over 85 °Bx."""
    found = measure(seen(84.9, acid=Quantity(10.0, "g/kg"), instrument=refractometer("45-90")))

    assert found.by_mixing is None
    assert "convention" not in found.strength.budget


def test_alcohol_above_one_percent_is_refused() -> None:
    with pytest.raises(CannotError, match="cannot tell sugar from alcohol") as told:
        measure(seen(50.0, abv_percent=1.1))
    assert "before the spirit goes in" in told.value.remedy


def test_no_compensation_needs_a_temperature() -> None:
    with pytest.raises(UsageError) as told:
        measure(seen(50.0, instrument=UNCOMPENSATED))
    assert "--temperature" in told.value.remedy


@pytest.mark.parametrize(
    "readings",
    [
        seen(),
        seen(nan),
        seen(50.0, inf),
        seen(50.0, zero_brix=nan),
        seen(50.0, abv_percent=nan),
        seen(50.0, acid=Quantity(500.0, "g/kg")),
        seen(50.0, acid=Quantity(nan, "g/l")),
        seen(30.0, diluted=mixed(0.0, 100.0)),
        seen(30.0, diluted=mixed(nan, 100.0)),
        seen(30.0, diluted=mixed(100.0, -1.0)),
        seen(0.3, zero_brix=0.4),
        seen(2.0, acid=Quantity(30.0, "g/kg")),
        seen(2.0, acid=Quantity(30.0, "g/l")),
        seen(50.0, diluted=mixed(100.0, 100.0)),
        seen(54.0, diluted=mixed(10.0, 100.0, "ml")),
    ],
)
def test_what_is_no_reading_is_told(readings: Readings) -> None:
    """Never a traceback: each says what to do."""
    with pytest.raises(CannotError) as told:
        measure(readings)
    (problem,) = told.value.problems()
    assert problem.message
    assert problem.remedy


def test_a_prism_out_of_the_table_is_told() -> None:
    with pytest.raises(OutOfRangeError, match="temperature of 41 °C"):
        measure(seen(50.0, instrument=UNCOMPENSATED, temperature_c=41.0))


# What to do when the scale has ended


@pytest.mark.parametrize(
    ("scale", "brix", "water_g", "shows"),
    [
        ("0-55", 66.7, 25.0, 53.4),  # 66.7/1.25
        ("0-55", 68.0, 50.0, 45.3),  # 68/1.25 = 54.4 is too near the end
        ("0-32", 50.0, 100.0, 25.0),  # 50/1.5 = 33.3 is too much
        ("0-32", 66.7, 200.0, 22.2),  # 66.7/2 = 33.4 is too much
        ("0-20", 66.7, 300.0, 16.7),
        ("45-82", 85.0, 25.0, 68.0),
    ],
)
def test_the_smallest_dilution_that_fits(scale: str, brix: float, water_g: float, shows: float) -> None:
    """Strength over (100 + water)/100, at least a °Bx or two divisions below the end, by hand."""
    found = propose(seen(instrument=refractometer(scale, division=0.5)), brix)
    assert found is not None
    assert (found.sample_g, found.water_g) == (100.0, water_g)
    assert found.reads_brix == pytest.approx(shows, abs=0.05)


def test_no_dilution_fits() -> None:
    assert propose(seen(instrument=refractometer("0-10")), 66.7) is None


def test_the_end_of_the_scale_is_the_least_it_can_be() -> None:
    found = measure(seen(55.0))
    assert found.ended
    assert found.proposal is not None
    assert found.proposal.water_g == 25.0
    within = measure(seen(50.0))
    assert (within.ended, within.proposal) == (False, None)


@pytest.mark.parametrize(("expected", "water_g"), [(None, 200.0), (50.0, 100.0), (40.0, 50.0)])
def test_beyond_the_end_it_may_be_as_strong_as_syrups_get(expected: float | None, water_g: float) -> None:
    """32 on a scale to 32: 66.7/3 fits where nothing is expected, 50/2 and 40/1.5 where that is the standard."""
    found = measure(seen(32.0, instrument=refractometer("0-32", division=0.2)), expected)
    assert found.proposal is not None
    assert found.proposal.water_g == water_g


def test_what_the_proposal_says_is_what_it_measures() -> None:
    """Reading what was announced gives the strength it was announced for."""
    known = seen(acid=Quantity(9.0, "g/kg"), inverted_fraction=0.4, zero_brix=0.3)
    found = propose(known, 62.0)
    assert found is not None
    again = replace(known, shown=(found.reads_brix,), diluted=mixed(found.sample_g, found.water_g))
    assert measure(again).strength.value == pytest.approx(62.0, abs=1e-9)


# What it means for the menu


def test_the_syrups_file_fills_in_what_was_not_said() -> None:
    berry = syrup(
        "berry", acid="9 g/kg", sugars={"sucrose": "60 %", "glucose": "20 %", "fructose": "20 %"}, abv="0.5 %"
    )
    found = known_of(berry, seen(50.0))
    assert (found.acid, found.inverted_fraction, found.abv_percent) == (Quantity(9.0, "g/kg"), 0.4, 0.5)
    said = known_of(berry, seen(50.0, acid=Quantity(12.0, "g/kg"), abv_percent=0.0))
    assert (said.acid, said.abv_percent) == (Quantity(12.0, "g/kg"), 0.0)


@pytest.mark.parametrize("acid", ["34 g/kg", "42 g/l"])
def test_a_syrup_at_its_standard_reading_is_at_standard(acid: str) -> None:
    """The reading a file gives as standard, measured, is the standard that the file means."""
    cordial = syrup("cordial", standard_reading="53 °Bx", acid=acid)
    found = judge(bar(cordial), cordial.id, seen(53.0))
    assert found.rescale is not None
    assert found.measurement.strength.value == pytest.approx(found.rescale.standard_brix, abs=1e-4)
    assert found.at_standard_brix == pytest.approx(53.0, abs=1e-4)


def test_without_a_syrup_there_is_only_the_strength() -> None:
    found = judge(bar(), None, seen(50.3))
    assert (found.rescale, found.at_standard_brix, found.near_edge) == (None, None, ())
    assert found.measurement.strength.value == 50.3


def test_the_pours_of_the_menu() -> None:
    """WE-35: 22.5 ml at 54 instead of 50 °Bx is 20.5 ml exactly, so 20 by the jigger."""
    found = judge(bar(RUM, LIME, BERRY, SOUR), BERRY.id, seen(54.0, zero_brix=0.0))
    assert found.rescale is not None
    assert found.rescale.advice.word == "change pours"
    assert found.rescale.conversions == (((22.5, "ml"), (20.0, "ml")),)
    assert found.at_standard_brix == pytest.approx(50.0, abs=1e-9)


def test_a_zero_that_is_off_moves_the_standard_too() -> None:
    found = judge(bar(RUM, LIME, BERRY, SOUR), BERRY.id, seen(54.4, zero_brix=0.4))
    assert found.at_standard_brix == pytest.approx(50.4, abs=1e-9)


def test_a_standard_beyond_the_scale_is_read_diluted() -> None:
    rich = syrup("rich", standard="66.7 °Bx")
    found = judge(bar(rich), rich.id, seen(33.0, diluted=mixed(100.0, 100.0)))
    assert found.at_standard_brix is None
    assert found.at_standard is not None
    assert found.at_standard.reads_brix == pytest.approx(66.7 / 1.25, abs=1e-9)


def test_an_ended_scale_advises_nothing_but_reading_again() -> None:
    found = judge(bar(RUM, LIME, BERRY, SOUR), BERRY.id, seen(55.0))
    assert found.rescale is not None
    assert found.rescale.advice.word == "read again"


def test_a_batch_not_open_yet_is_corrected() -> None:
    found = judge(bar(RUM, LIME, BERRY, SOUR), BERRY.id, seen(54.0), batch=batch("BER-1", "made"))
    assert found.rescale is not None
    assert found.rescale.advice.word == "correct the batch"


@pytest.mark.parametrize(("before", "word"), [((), "read again"), ((66.5,), "pull"), ((50.0,), "read again")])
def test_an_implausible_reading_is_confirmed_by_another(before: tuple[float, ...], word: str) -> None:
    strong = refractometer()
    found = judge(
        bar(RUM, LIME, BERRY, SOUR), BERRY.id, seen(66.0, instrument=strong), batch=batch("B-1", "open", *before)
    )
    assert found.rescale is not None
    assert found.rescale.advice.word == word


def test_why_a_batch_is_off_comes_from_the_log() -> None:
    """With a known cause the flavour is one figure, not a range."""
    specs = bar(RUM, LIME, BERRY, SOUR)
    found = judge(specs, BERRY.id, seen(54.0), batch=batch("B-1", "open", 54.0, cause="sugar"))
    said = judge(specs, BERRY.id, seen(54.0), cause="boiled")
    unknown = judge(specs, BERRY.id, seen(54.0))
    flavours = [one.rescale.rows[0].flavour_percent for one in (found, said, unknown) if one.rescale]
    assert [low == high for low, high in filter(None, flavours)] == [True, True, False]
    assert flavours[0] != flavours[1]


def test_drinks_near_a_limit_are_named() -> None:
    """A pour is as written within 5 %: 22.5 ml in the whole drink's sugar, so near 2 °Bx off it may turn."""
    specs = bar(RUM, LIME, BERRY, SOUR)
    edge = judge(specs, BERRY.id, seen(52.0))
    assert edge.near_edge == (SOUR.name,)
    assert judge(specs, BERRY.id, seen(50.0)).near_edge == ()


# The log


def test_the_entry_of_a_reading() -> None:
    judged = judge(bar(RUM, LIME, BERRY, SOUR), BERRY.id, seen(53.96))
    entry = log_draft(judged, Stamp(NOON, "MK"), "boiled")
    assert (entry.event, entry.brix, entry.uncertainty, entry.cause, entry.by, entry.at) == (
        "reading", 53.96, 0.32, "boiled", "MK", NOON,
    )  # fmt: skip


def test_the_end_of_the_scale_is_not_logged() -> None:
    judged = judge(bar(RUM, LIME, BERRY, SOUR), BERRY.id, seen(55.0))
    with pytest.raises(CannotError, match="no strength to log"):
        log_draft(judged, Stamp(NOON), None)


def test_the_open_batch_of_a_syrup() -> None:
    waiting, in_use, other = batch("B-1", "made"), batch("B-2", "open"), batch("P-1", "open", liquid="plain-syrup")
    day = NOON.date()
    past = replace(batch("B-0", "open"), discard=day - timedelta(days=1))
    assert open_batch_of([past, waiting, in_use, other], BERRY.id, day) is in_use
    assert open_batch_of([past, waiting, other], BERRY.id, day) is None
    with pytest.raises(UsageError, match="B-2, B-3 are open"):
        open_batch_of([in_use, batch("B-3", "open")], BERRY.id, day)


def test_a_drink_that_does_not_pour_it_is_left_out() -> None:
    plain = drink("Plain Sour", "60 ml gold rum", "22.5 ml lime juice")
    found = judge(bar(RUM, LIME, BERRY, SOUR, plain), BERRY.id, seen(54.0))
    assert found.rescale is not None
    assert [row.drink.name for row in found.rescale.rows] == [SOUR.name]
