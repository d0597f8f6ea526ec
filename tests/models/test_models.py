"""The models by themselves: what each value may be, and how a refusal is worded. Files are another matter."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from balancer.models import fields
from balancer.models.drink import Drink
from balancer.models.fields import Allergens, FileModel
from balancer.models.house import House
from balancer.models.ingredient import Ingredient
from balancer.models.pour import Part, Pour, PourAmount
from balancer.models.syrup import Syrup
from balancer.units import Quantity

HOUSE = {"format": "1", "house": "A"}
DRINK = {"drink": "A", "id": "a", "method": "shaken", "pours": [{"pour": "30 ml", "of": "gin"}]}
MODELS: tuple[type[FileModel], ...] = (House, Ingredient, Syrup, Drink, Pour, Part)


def value_of(kind: Any, text: object) -> Any:
    return TypeAdapter(kind).validate_python(text)


def refusal(kind: Any, text: object) -> tuple[str, str]:
    """The code and the remedy of the one error a value gives."""
    with pytest.raises(ValidationError) as caught:
        value_of(kind, text)
    (error,) = caught.value.errors()
    assert error["msg"]
    return error["type"], error["ctx"]["remedy"]


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (fields.Millilitres, "3 cl", 30.0),
        (fields.Mass, "1,5 kg", 1500.0),
        (fields.Brix, "50ºBx", 50.0),
        (fields.Abv, "0 % vol", 0.0),
        (fields.Abv, "100 %", 100.0),
        (fields.Celsius, "39.2 °F", pytest.approx(4.0)),
        (fields.Days, "2 weeks", 14.0),
        (fields.Density, "1.03 kg/l", 1.03),
        (fields.Percent, "200 %", 200.0),
        (fields.Concentration, "46 g/l", Quantity(46.0, "g/l")),
        (fields.Volume, "1/8 oz", Quantity(0.125, "oz")),
        (fields.AmountEach, "4 g", Quantity(4.0, "g")),
        (fields.Yield, "90 %", Quantity(90.0, "%")),
        (PourAmount, "2 cubes", Quantity(2.0, "cubes")),
        (PourAmount, "2 dashes", Quantity(2.0, "dash")),
    ],
)
def test_amounts_come_out_in_their_base_unit(kind: Any, text: str, value: object) -> None:
    assert value_of(kind, text) == value


@pytest.mark.parametrize(
    ("kind", "text", "code"),
    [
        *((kind, "130 °Bx", "value") for kind in (fields.Brix, fields.BrixTolerance)),
        *((kind, "140 %", "value") for kind in (fields.Abv, fields.Share, fields.Tolerance)),
        *((kind, "0 %", "value") for kind in (fields.Tolerance, fields.Yield)),
        *((kind, "-1 g", "value") for kind in (fields.Mass, fields.AmountEach, PourAmount)),
        *((kind, "0 ml", "value") for kind in (fields.Millilitres, fields.Volume, PourAmount)),
        (fields.Celsius, "100 °C", "value"),
        (fields.Celsius, "200 °F", "value"),
        (fields.Density, "0.1 g/ml", "value"),
        (fields.Days, "4000 days", "value"),
        (PourAmount, "1000001 ml", "value"),
        (fields.Concentration, "46 %", "unit-kind"),
        (fields.Abv, "40 g/l", "unit-kind"),
        (fields.Mass, "1 oz", "unit-kind"),
        (fields.Millilitres, "1 oz", "unit-kind"),
        (PourAmount, "40 %", "unit-kind"),
        (PourAmount, "50 °Bx", "unit-kind"),
        (fields.Abv, "40", "unit-missing"),
        (PourAmount, "40", "unit-missing"),
        (fields.Abv, "40 proofs", "unit"),
        (PourAmount, "40 ml gin", "unit"),
        (fields.Abv, "nan", "number"),
        (fields.Abv, "inf %", "number"),
        (fields.Abv, "1e2 %", "number"),
        (PourAmount, "a lot", "number"),
        (fields.Mass, "1,000 g", "number-ambiguous"),
        *((kind, " ", "empty") for kind in (fields.Abv, fields.Name, fields.Flag, PourAmount)),
        *((kind, ["1"], "shape") for kind in (fields.Abv, fields.Name, fields.Flag, fields.Text, PourAmount)),
        *((kind, {"a": "1"}, "shape") for kind in (fields.Abv, fields.Name, fields.Flag, fields.Text, PourAmount)),
        *((kind, None, "shape") for kind in (fields.Abv, fields.Name, fields.Flag, PourAmount)),
        (fields.Flag, "maybe", "choice"),
        (fields.SugarShares, {"sucrose": "60 %"}, "share-sum"),
        (fields.SugarShares, {}, "share-sum"),
        (fields.SugarShares, {"citric": "100 %"}, "share-name"),
        (fields.AcidShares, {"sucrose": "100 %"}, "share-name"),
    ],
)
def test_refused_values_have_a_code_and_a_remedy(kind: Any, text: object, code: str) -> None:
    found, remedy = refusal(kind, text)
    assert found == code
    assert remedy


def test_limits_are_said_without_an_exponent() -> None:
    with pytest.raises(ValidationError, match="above 0 and at most 1000000 g"):
        value_of(fields.Mass, "2000 kg")


@pytest.mark.parametrize(
    ("text", "value"), [("true", True), ("Yes", True), ("false", False), ("NO", False), (True, True)]
)
def test_flags(text: object, value: bool) -> None:
    assert value_of(fields.Flag, text) is value


def test_names_lose_only_surplus_spaces() -> None:
    assert value_of(fields.Name, "  lime \u00a0 juice\n") == "lime juice"
    assert value_of(fields.Name, "007") == "007"


def test_one_text_is_a_list_of_one() -> None:
    assert value_of(fields.Texts, "egg") == ("egg",)
    assert value_of(fields.Texts, ["egg", "milk"]) == ("egg", "milk")
    assert value_of(fields.Texts, []) == ()


def test_shares_become_parts_of_one() -> None:
    assert value_of(fields.SugarShares, {"glucose": "49 %", "fructose": "50 %"}) == {
        "glucose": pytest.approx(49 / 99),
        "fructose": pytest.approx(50 / 99),
    }


class TestHouse:
    def test_defaults(self) -> None:
        house = House.model_validate(HOUSE)
        assert house.ounce == 29.5735295625
        assert house.step == Quantity(2.5, "ml")
        assert house.measures().ml(Quantity(2.0, "dash")) == 1.6

    def test_own_measures_may_be_in_the_own_ounce(self) -> None:
        house = House.model_validate(
            {**HOUSE, "ounce": "30 ml", "dash": "1/32 oz", "barspoon": "5 ml", "glasses": {"coupe": "6 oz"}}
        )
        assert house.dash == 0.9375
        assert house.glasses == {"coupe": 180.0}

    @pytest.mark.parametrize("text", ["0-55 °Bx", "0 - 55 Brix", "0–55ºBx", "0 to 55 °Bx", "0,0-55,0 °bx"])
    def test_instrument_scales(self, text: str) -> None:
        house = House.model_validate({**HOUSE, "instrument": {"scale": text}})
        assert house.instrument is not None
        assert house.instrument.scale == (0.0, 55.0)

    @pytest.mark.parametrize("text", ["55 °Bx", "55-0 °Bx", "0-55 %", "0-200 °Bx", "0-55", "0-5-5 °Bx", "a-b °Bx"])
    def test_refused_scales(self, text: str) -> None:
        with pytest.raises(ValidationError, match="is not the range of a refractometer"):
            House.model_validate({**HOUSE, "instrument": {"scale": text}})

    @pytest.mark.parametrize(("text", "value"), [("06:00", "06:00"), ("6:00", "06:00"), ("23.59", "23:59")])
    def test_clock(self, text: str, value: str) -> None:
        assert House.model_validate({**HOUSE, "day ends": text}).day_ends == value

    @pytest.mark.parametrize("text", ["24:00", "6", "6 pm", "06:60"])
    def test_refused_clock(self, text: str) -> None:
        with pytest.raises(ValidationError, match="is not a time of day"):
            House.model_validate({**HOUSE, "day ends": text})

    @pytest.mark.parametrize("text", ["0", "2", "1.0", "one"])
    def test_only_format_1(self, text: str) -> None:
        with pytest.raises(ValidationError, match="is not known"):
            House.model_validate({**HOUSE, "format": text})


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
class TestEveryModel:
    def test_unknown_keys_are_refused(self, model: type[FileModel]) -> None:
        with pytest.raises(ValidationError) as caught:
            model.model_validate({"no such key": "1"})
        assert "extra_forbidden" in {error["type"] for error in caught.value.errors()}

    def test_every_error_is_one_the_loader_words(self, model: type[FileModel]) -> None:
        """Whatever stands under a key, no wording of the library's own can reach a person."""
        for wrong in ("", "x", "-1", [], ["x"], {}, {"x": "y"}, [["x"]], [{"x": "y"}], "9" * 400, None, 7, 1.5, True):
            data = {field.alias or name: wrong for name, field in model.model_fields.items()}
            try:
                model.model_validate(data)
            except ValidationError as error:
                for item in error.errors():
                    assert "remedy" in item.get("ctx", {}) or item["type"] in {
                        "missing",
                        "extra_forbidden",
                        "model_type",
                        "dict_type",
                        "tuple_type",
                    }, item

    def test_keys_are_spelt_as_in_the_files(self, model: type[FileModel]) -> None:
        """With spaces, not underscores."""
        assert not [name for name, field in model.model_fields.items() if "_" in (field.alias or name)]


def test_models_are_frozen() -> None:
    drink = Drink.model_validate(DRINK)
    with pytest.raises(ValidationError, match="frozen"):
        setattr(drink, "method", "stirred")  # noqa: B010 - said so that the type checker lets it pass


def test_a_field_is_set_by_its_key_only() -> None:
    """A model's own field name is no second spelling of a key."""
    with pytest.raises(ValidationError):
        House.model_validate({**HOUSE, "jigger_step": "5 ml"})


@pytest.mark.parametrize(
    "text",
    [
        "none",
        "No",
        "?",
        "n/a",
        "unknown",
        "none known",
        "no nuts",
        "gluten free",
        "Nut-free",
        "glutenfree",
        "free from nuts",
        "-",
    ],
)
@pytest.mark.parametrize("wrap", [str, lambda text: ["milk", text]], ids=["alone", "in a list"])
def test_no_allergen_is_named_like_a_word_for_none(text: str, wrap: Callable[[str], object]) -> None:
    """Shown as an allergen it would read as "contains none"."""
    with pytest.raises(ValidationError, match="is not the name of an allergen"):
        TypeAdapter(Allergens).validate_python(wrap(text))


@pytest.mark.parametrize("text", ["nuts", "nutmeg", "naga chilli", "freekeh", "sulphites", "nori", "may contain milk"])
def test_names_that_begin_like_such_a_word_are_allergens(text: str) -> None:
    assert TypeAdapter(Allergens).validate_python(text) == (text,)


def test_allergens_are_one_whatever_their_case() -> None:
    assert TypeAdapter(Allergens).validate_python(["Milk", "eggs", "MILK"]) == ("milk", "eggs")
    with pytest.raises(ValidationError, match="one allergen with a comma"):
        TypeAdapter(Allergens).validate_python("almonds, milk")
