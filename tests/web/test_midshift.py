"""What somebody needs in the middle of a shift: tonight's answer, each doubt told, nothing for a terminal."""

from __future__ import annotations

import pytest

from tests.web.sitting import Device, Shown, Sitting, sitting

pytestmark = pytest.mark.slow

__all__ = ["sitting"]


def links(page: object, said: str) -> list[str]:
    """Where the links of a page lead that say so."""
    return [each.attributes["href"] for each in page.root.find("a") if each.text == said]  # type: ignore[attr-defined]


LIME = "LIM-1 lime juice: tonight 22.5 → 20 ml still applies"
"""52 g/l beside the 46 of the demo's file: 22.5 · 46/52 = 19.9 ml, 20 on a jigger of 2.5 ml."""


def test_a_syrup_is_swapped_for_tonight_from_a_drink(sitting: Sitting) -> None:
    phone = sitting.device()
    drink = phone.get("/drinks/slipway-sour")
    (address,) = links(drink, "Swap its syrup")
    page = phone.get(address)
    assert page.root.find("h1")[0].text == "Swap in the Slipway Sour, tonight"
    assert "Open tonight, the closest match first" in page.words
    spec = phone.get("/swap", {"drink": "slipway-sour"})
    assert spec.root.find("h1")[0].text == "Swap in the Slipway Sour, for the spec"


def test_a_juice_that_is_off_still_applies_beside_a_swap_of_tonight(sitting: Sitting) -> None:
    phone = sitting.device()
    asked = {"drink": "slipway-sour", "at": "tonight"}
    assert [each.text for each in phone.get("/swap", asked).root.find("p", "still")] == [LIME]
    assert LIME in phone.get("/swap", asked | {"in": "honey-syrup"}).words
    assert LIME not in phone.get("/swap", asked | {"in": "honey-syrup", "at": "standard"}).words
    assert LIME not in phone.get("/swap", asked | {"out": "lime-juice"}).words  # the swap itself replaces it


def test_a_drink_says_why_its_juice_pours_otherwise(sitting: Sitting) -> None:
    page = sitting.device().get("/drinks/slipway-sour")
    assert "LIM-1: acid +13 %, so 22.5 → 20 ml keeps the drink as sour" in page.words  # 52/46 = 1.130


def test_adjusting_says_that_it_is_for_the_spec(sitting: Sitting) -> None:
    page = sitting.device().get("/adjust", {"drink": "slipway-sour", "sugar": "-10 %"})
    assert page.root.find("h1")[0].text == "Adjust the Slipway Sour, for the spec"
    assert "not for tonight’s bottles" in page.words
    assert "/drinks/slipway-sour" in links(page, "Tonight’s pours of it")


def corrected(sitting: Sitting) -> Device:
    """A phone, after STR-1 was brought to its standard by what was reckoned, and nobody read it."""
    phone = sitting.device()
    done = phone.press(phone.get("/batches/STR-1"), "Log the correction", brix="50", mass="1400")
    assert done.part("done") is not None
    return phone


def test_a_corrected_bottle_is_in_doubt_until_it_is_read(sitting: Sitting) -> None:
    phone = corrected(sitting)
    page = phone.get("/")
    (bottle,) = [each for each in page.root.find("article") if "STR-1" in each.text]
    assert "In doubt. Corrected and not read since; read it" in bottle.text
    assert [each.attributes["href"] for each in bottle.find("a", "own")] == ["/read?what=batch:STR-1"]
    assert not [each for each in page.root.find("span", "id") if "STR-1" in each.text]  # not "open, as written"
    drink = phone.get("/drinks/strawberry-pilot")
    assert "STR-1 was corrected and not read since" in drink.words
    (row,) = [each for each in drink.root.find("tr") if "STR-1" in each.text]
    assert "in doubt" in row.text
    assert row.find("td", "unsure")
    assert "Corrected and not read since" in phone.get("/batches/STR-1").words
    phone.press(phone.get("/batches/STR-1"), "Log it", brix="50")
    assert "not read since" not in phone.get("/").words
    assert "not read since" not in phone.get("/drinks/strawberry-pilot").words


def test_tonight_links_to_a_reading_and_prints_nothing_to_type(sitting: Sitting) -> None:
    page = corrected(sitting).get("/")
    assert "balancer measure" not in page.words
    assert "--log" not in page.words
    assert set(links(page, "Read STR-1")) == {"/read?what=batch:STR-1"}


def test_drinks_of_a_bottle_to_correct_wait_until_it_is(sitting: Sitting) -> None:
    page = sitting.device().get("/")
    (bottle,) = [each for each in page.root.find("article", "wait") if "STR-1" in each.text]
    assert "no pour for Port Hand Buoy, Strawberry Pilot until it is corrected" in bottle.text
    assert "not in Port Hand Buoy" not in page.words
    assert "2 drinks wait" in page.words
    (stop,) = [each for each in page.root.find("section", "stop") if "STR-1" in each.text]
    assert {"/drinks/port-hand-buoy", "/drinks/strawberry-pilot"} <= {
        each.attributes["href"] for each in stop.find("a")
    }


def test_one_drink_waits(sitting: Sitting) -> None:
    (sitting.specs / "drinks" / "port-hand-buoy.yaml").unlink()
    assert "1 drink waits" in sitting.device().get("/").words


def test_a_juice_says_what_tonight_pours_of_it(sitting: Sitting) -> None:
    page = sitting.device().get("/batches/LIM-1")
    assert page.root.find("ol", "pours")


def test_a_bottle_in_use_is_corrected_per_kilogram_and_weighed_before_that_is_logged(sitting: Sitting) -> None:
    """By hand: 54.6 °Bx to 50 °Bx takes 1000 · (54.6 − 50)/50 = 92 g water per kg, of the 1300 g logged 119.6 g."""
    phone = sitting.device()
    page = phone.get("/batches/STR-1")
    title = page.part("correction-title")
    assert title is not None
    assert title.text == "Add 92 g water to each kg of STR-1: 54.6 °Bx → 50"
    assert "If all 1300 g are left: add 120 g water" in page.words
    before = len(sitting.log)
    refused = phone.sent(page, _first_button(page))
    assert refused.status == 422
    assert "weigh it" in refused.wrong()["mass"]
    assert len(sitting.log) == before
    phone.press(page, _first_button(page), mass="900")
    assert sitting.log[-1]["batch"] == "STR-1"
    assert sitting.log[-1]["mass"] == 900


def _with_first_dose(sitting: Sitting, since: str, **fields: str) -> tuple[Shown, int]:
    """STR-1 shown to one device, changed by another, and the first dose logged by the first: the answer, lines before.

    since  what the other does: a form's last word of its address
    """
    one, other = sitting.device(), sitting.device()
    shown = one.get("/batches/STR-1")
    sitting.at("18:50")
    button = {"reading": "Log it", "correct": "Log the correction"}[since]
    page = other.sent(other.get("/batches/STR-1"), button, since, **fields)
    if page.status == 409:
        page = other.sent(page, "Yes, it is meant", since, **fields)
    assert page.status == 303
    sitting.at("18:55")
    before = len(sitting.log)
    return one.sent(shown, _first_button(shown), mass="900"), before


@pytest.mark.parametrize(
    ("since", "fields", "told"),
    [
        ("reading", {"brix": "50"}, "STR-1 was read since: 50 °Bx"),
        ("correct", {"brix": "52"}, "STR-1 was corrected since: 52 °Bx"),
        ("reading", {"brix": "54.6", "mass": "800"}, "STR-1 was read since: 54.6 °Bx"),
    ],
)
def test_a_first_dose_for_another_strength_is_not_logged(
    sitting: Sitting, since: str, fields: dict[str, str], told: str
) -> None:
    answer, before = _with_first_dose(sitting, since, **fields)
    assert answer.status == 409
    assert f"Nothing was logged. {told}" in answer.words
    assert len(sitting.log) == before
    assert all(field.attributes.get("value") != "900" for field in answer.root.find("input"))


def test_a_first_dose_after_an_undo_of_the_reading_it_is_for_is_not_logged(sitting: Sitting) -> None:
    one, other = sitting.device(), sitting.device()
    sitting.at("18:50")
    read = other.sent(other.get("/batches/STR-1"), "Log it", "reading", brix="54")
    assert read.status == 303
    shown = one.get("/batches/STR-1")
    sitting.at("18:55")
    done = other.get(read.location)
    other.press(done, "Undo", "done")
    before = len(sitting.log)
    answer = one.sent(shown, _first_button(shown), mass="900")
    assert answer.status == 409
    assert "STR-1 was changed since: 54.6 °Bx" in answer.words
    assert len(sitting.log) == before


def _first_button(page: Shown) -> str:
    (said,) = [each.text for each in page.root.find("button") if each.text.endswith("is in: log it")]
    return said


def test_a_reading_that_is_too_warm_is_not_offered_as_sure(sitting: Sitting) -> None:
    phone = sitting.device()
    page = phone.get("/read", {"what": "batch:HON-1", "reading": "50.9", "temperature": "41"})
    assert "±" not in page.root.find("p", "big")[0].text
    assert "in doubt, too warm" in page.result
    assert not page.root.find("button", "do")
    asked = phone.sent(page, "Log it all the same", by="Ana")
    assert asked.status == 409
    assert "too warm to log a reading" in asked.words
    before = len(sitting.log)
    phone.press(asked, "Yes, it is meant")
    assert len(sitting.log) == before + 1
    assert phone.get("/read", {"what": "batch:HON-1", "reading": "51", "temperature": "21"}).root.find("button", "do")


def named(sitting: Sitting, name: str) -> Device:
    """A device on which somebody has said who logs."""
    phone = sitting.device()
    phone.press(phone.get("/name"), "Keep it", by=name)
    return phone


def by_hand(phone: Device, brix: str) -> Shown:
    """What logging a strength of RAS-12 as it is known leads to."""
    return phone.sent(phone.get("/batches/RAS-12"), "Log it", "reading", brix=brix)


def test_a_reading_beside_another_of_the_same_hour_is_asked_about(sitting: Sitting) -> None:
    one, other = named(sitting, "Ana"), named(sitting, "Bo")
    sitting.at("18:30")
    assert by_hand(one, "54").status == 303
    sitting.at("19:10")
    assert by_hand(one, "55.2").status == 303  # her own: she knows
    sitting.at("19:40")
    logged = len(sitting.log)
    asked = other.sent(other.get("/read", {"what": "batch:RAS-12", "reading": "50.9"}), "Log ")
    assert asked.status == 409
    assert "RAS-12 was read 55.2 at 19:10: still log 50." in asked.words
    typed = by_hand(other, "50.9")
    assert typed.status == 409
    assert "RAS-12 was read 55.2 at 19:10: still log 50.9?" in typed.words
    assert len(sitting.log) == logged
    other.press(asked, "Yes, it is meant")
    assert len(sitting.log) == logged + 1
    assert (sitting.log[-1]["batch"], sitting.log[-1]["by"]) == ("RAS-12", "Bo")


def test_a_reading_hours_later_or_much_the_same_is_not_asked_about(sitting: Sitting) -> None:
    one, other = named(sitting, "Ana"), named(sitting, "Bo")
    sitting.at("18:30")
    assert by_hand(one, "54").status == 303
    sitting.at("19:10")
    assert by_hand(other, "54.6").status == 303  # within the 1 °Bx by which one reading confirms another
    sitting.at("22:30")
    assert by_hand(one, "51").status == 303


def test_a_juice_is_said_to_go_by_its_acid_before_the_page_changes(sitting: Sitting) -> None:
    phone = sitting.device()
    page = phone.get("/read", {"what": "batch:LIM-1", "reading": "8.5"})
    assert page.root.find("h1")[0].text == "Read a syrup"
    assert "goes by its acid" in page.wrong()["what"]
    (kept,) = [each for each in page.root.find("input") if each.attributes.get("name") == "reading"]
    assert kept.attributes["value"] == "8.5"
    assert links(page, "Log its acid") == ["/batches/LIM-1#reading"]
    assert phone.get("/read", {"what": "batch:LIM-1"}).root.find("h1")[0].text.startswith("LIM-1")


def test_a_batch_whose_last_day_is_today_is_marked(sitting: Sitting) -> None:
    page = sitting.device().get("/batches")
    marked = [row.text for row in page.root.find("li") if row.find("b", "ends")]
    assert len(marked) == 1  # of 25 November the log has LIM-1 alone
    assert "LIM-1" in marked[0]
    assert "last day today" in marked[0]
