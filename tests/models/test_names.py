"""Names, ids, and finding one by the other as people type them."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from balancer.models.names import NameIndex, slug
from tests.examples import examples

FUZZ = settings(deadline=None, max_examples=examples(400))
ANY_TEXT = st.text(st.characters())


@pytest.mark.parametrize(
    ("name", "identity"),
    [
        ("gold rum", "gold-rum"),
        ("Gold  RUM ", "gold-rum"),
        ("gold_rum", "gold-rum"),
        ("gold – rum / 2:1", "gold-rum-2-1"),
        ("1984", "1984"),
        ("007", "007"),
        # marks dropped after NFKD
        ("Crème de Cassis", "creme-de-cassis"),
        ("Cre\u0300me de Cassis", "creme-de-cassis"),
        ("jalapeño", "jalapeno"),
        ("Nº 7", "no-7"),
        ("№ 7", "no-7"),
        ("½ & ½", "1-2-1-2"),
        # letters that NFKD leaves alone
        ("Łódź", "lodz"),
        ("Øl & Æble", "ol-aeble"),
        ("Weißer Süßwein", "weisser-susswein"),
        ("WEISSER SÜẞWEIN", "weisser-susswein"),
        ("ǿ", "o"),
        ("ǣ", "ae"),
        ("Sœur Đỗ", "soeur-do"),
        ("Rakı, RAKI, İncir", "raki-raki-incir"),
        # apostrophes dropped, whichever key it was
        ("Barkeep's", "barkeeps"),
        ("Barkeep’s", "barkeeps"),
        ("Barkeep‘s", "barkeeps"),
        ("Barkeep\u02bcs", "barkeeps"),
        ("Barkeep´s", "barkeeps"),
        ("Barkeep`s", "barkeeps"),
        # letters of other scripts kept
        ("梅酒", "梅酒"),
        ("Чёрная смородина", "черная-смородина"),
        ("한국 소주", "한국-소주"),
        ("ρακί", "ρακι"),
        ("عرق", "عرق"),
        # a mark inside a word never splits it
        ("नींबू का रस", "नीब-का-रस"),
        ("มะนาว", "มะนาว"),
        # nor does an invisible character
        ("cor\u00addial", "cordial"),
        ("\ufeffgin", "gin"),
        ("❤\ufe0f rum", "rum"),
        # no letter, no id
        ("", ""),
        ("--- ' ---", ""),
        ("❤\ufe0f", ""),
    ],
)
def test_ids_of_names(name: str, identity: str) -> None:
    assert slug(name) == identity


@FUZZ
@given(ANY_TEXT)
@example("ŉ ẞ ﬃ Ⅷ ①")
def test_the_id_of_an_id_is_itself(name: str) -> None:
    assert slug(slug(name)) == slug(name)


@given(st.text(st.characters(max_codepoint=127)))
def test_plain_letters_take_a_short_way_to_the_same_id(name: str) -> None:
    """A soft hyphen is dropped, and sends the name the long way."""
    assert slug(name) == slug(name + "\u00ad")


@FUZZ
@given(ANY_TEXT)
def test_an_id_is_letters_and_digits_joined_by_single_hyphens(name: str) -> None:
    identity = slug(name)
    assert identity == identity.casefold()
    for word in identity.split("-") if identity else ():
        assert word
        assert all(unicodedata.category(char)[0] in "LN" or unicodedata.category(char) == "Mc" for char in word)


@FUZZ
@given(ANY_TEXT)
def test_neither_case_nor_the_form_of_an_accent_matters(name: str) -> None:
    decomposed = unicodedata.normalize("NFD", name)
    assert slug(name) == slug(name.swapcase()) == slug(decomposed) == slug(f"  {name}!")


@pytest.fixture
def names() -> NameIndex:
    index = NameIndex()
    assert index.add("raspberry-syrup", ["Raspberry Syrup", "house raspberry", "framboise"]) is None
    assert index.add("rich-syrup", ["Rich Syrup"]) is None
    assert index.add("rum", ["Rum"]) is None
    assert index.add("rum-cream", ["Rum Cream", "rum crème"]) is None
    return index


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("raspberry-syrup", ["raspberry-syrup"]),
        ("RASPBERRY  syrup", ["raspberry-syrup"]),
        ("House Raspberry", ["raspberry-syrup"]),
        # an exact name beats a longer one
        ("rum", ["rum"]),
        ("RUM.", ["rum"]),
        # a unique beginning, of any of its names
        ("ras", ["raspberry-syrup"]),
        ("fram", ["raspberry-syrup"]),
        ("rum c", ["rum-cream"]),
        ("Rum Cre", ["rum-cream"]),
        # two names of one thing are one thing
        ("rum-cr", ["rum-cream"]),
        # ambiguous
        ("r", ["raspberry-syrup", "rich-syrup", "rum", "rum-cream"]),
        ("ru", ["rum", "rum-cream"]),
        # unknown: a part from the middle is no beginning
        ("syrup", []),
        ("rumm", []),
        ("", []),
        ("--", []),
    ],
)
def test_finding(names: NameIndex, text: str, found: list[str]) -> None:
    assert sorted(names.find(text)) == found


@pytest.mark.parametrize(
    ("text", "closest"),
    [("rasberry syrup", "raspberry-syrup"), ("framboisse", "raspberry-syrup"), ("ritch syrup", "rich-syrup"),
     ("rumm", "rum"), ("xyzzy", None), ("", None)],
)  # fmt: skip
def test_what_is_most_like_an_unknown_name(names: NameIndex, text: str, closest: str | None) -> None:
    assert names.find(text) == []
    assert names.closest(text) == closest


@pytest.mark.parametrize(
    ("text", "house", "closest"),
    [("lemonade", "almonds", None), ("vinegar", "ginger", None), ("maple", "simple syrup", None),
     ("bery syrup", "berry syrup", "berry-syrup"), ("rasberry", "raspberry syrup", "raspberry-syrup"),
     ("anchr", "anchor sour", "anchor-sour")],
)  # fmt: skip
def test_another_thing_is_not_asked_about_and_a_slip_is(text: str, house: str, closest: str | None) -> None:
    index = NameIndex()
    index.add(slug(house), [house])

    assert index.closest(text) == closest


def test_a_name_that_is_taken_is_told_and_keeps_its_first_owner(names: NameIndex) -> None:
    assert names.add("raspberry-cordial", ["Raspberry Cordial", "HOUSE raspberry"]) == "raspberry-syrup"
    assert names.find("house raspberry") == ["raspberry-syrup"]
    assert names.find("raspberry cordial") == ["raspberry-cordial"]


def test_an_id_may_not_be_the_name_of_another(names: NameIndex) -> None:
    assert names.add("framboise", ["Raspberry Brandy"]) == "raspberry-syrup"


def test_one_thing_may_say_its_name_twice(names: NameIndex) -> None:
    assert names.add("gin", ["Gin", "gin", "GIN!"]) is None


def test_what_is_added_after_a_search_is_found(names: NameIndex) -> None:
    assert names.find("rich") == ["rich-syrup"]
    names.add("rich-honey", ["Rich Honey"])
    assert sorted(names.find("rich")) == ["rich-honey", "rich-syrup"]


@settings(deadline=None)
@given(st.lists(st.text(min_size=1, max_size=6), max_size=12), st.text(max_size=4))
def test_finding_agrees_with_looking_at_every_name(texts: list[str], wanted: str) -> None:
    index = NameIndex()
    ids = {slug(text) for text in texts} - {""}
    for identity in ids:
        index.add(identity, [])
    key = slug(wanted)
    plain = [key] if key in ids else sorted(identity for identity in ids if key and identity.startswith(key))
    assert sorted(index.find(wanted)) == plain
