"""The forms that log: every error at its field, doubts asked once more, nothing twice, a name kept, text as text."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor

import pytest
from starlette.testclient import TestClient

from balancer.web.app import page_app
from balancer.web.by import BY_COOKIE
from balancer.web.guard import RefusedError
from balancer.web.house import OpenHouse
from balancer.web.once import Once
from balancer.web.settings import PageSettings
from balancer.web.typed import untyped
from tests.web.browsing import KEY, ORIGIN, token_of
from tests.web.sitting import Device, Shown, Sitting, sitting  # noqa: F401 - a fixture

pytestmark = pytest.mark.slow

RAS = {"what": "batch:RAS-12"}


@pytest.fixture(scope="module")
def unlogged(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Sitting]:
    """A sitting for what logs nothing."""
    with pytest.MonkeyPatch.context() as patch:
        yield Sitting(tmp_path_factory.mktemp("bar"), patch)


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        (RAS | {"reading": ""}, "reading", "give what the refractometer reads"),
        (RAS | {"reading": "fifty"}, "reading", '"fifty"'),
        (RAS | {"reading": "545"}, "reading", "is it 54.5?"),
        (RAS | {"reading": "1.42"}, "reading", "is hardly °Bx"),
        (RAS | {"reading": "54 1.4201nD"}, "reading", "not on one scale"),
        (RAS | {"reading": "1,000"}, "reading", "1,000"),
        (RAS | {"reading": "54", "temperature": "warm"}, "temperature", '"warm"'),
        (RAS | {"reading": "54", "temperature": "400"}, "temperature", "give a temperature between -30 and 100 °C"),
        (RAS | {"reading": "54", "dilute": "yes"}, "sample", "weigh it"),
        (RAS | {"reading": "54", "dilute": "yes", "sample": "100"}, "water", "weigh it"),
        (RAS | {"reading": "54", "dilute": "yes", "sample": "100", "water": "30 ml"}, "water", "is not a mass"),
        (RAS | {"reading": "54", "acid": "9 %"}, "acid", "9 %"),
        ({"what": "batch:RAS-11", "reading": "54"}, "what", "RAS-11 is empty"),
        ({"what": "batch:NO-1", "reading": "54"}, "what", "no batch is called"),
        ({"what": "liquid:no-such", "reading": "54"}, "what", "choose another"),
        ({"what": "liquid:ginger-syrup", "reading": "47"}, "what", "GIN-1, GIN-2 are open: which one was read?"),
    ],
)
def test_every_error_of_a_reading_stands_at_its_field(
    unlogged: Sitting,
    typed: Mapping[str, str],
    field: str,
    said: str,
) -> None:
    phone = unlogged.device()
    page = phone.get("/read", typed)
    assert said in page.wrong()[field]
    assert "--" not in page.wrong()[field]
    assert "balancer " not in page.wrong()[field]
    form, _ = page.form("Work it out")
    for name, text in typed.items():
        if name != "what" or text == "batch:RAS-12":  # what is not offered cannot be kept
            assert form.fields[name] == text
    before = unlogged.log
    refused = phone.post("/read", {**typed, **secrets_of(page)})
    assert refused.status == 422
    assert said in refused.wrong()[field]
    assert unlogged.log == before


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({}, "liquid", "say what was made"),
        ({"liquid": "no-such"}, "liquid", "say what was made"),
        ({"brix": "x"}, "brix", '"x"'),
        ({"brix": "500"}, "brix", "is it 50?"),
        ({"liquid": "raspberry-syrup", "acid": "9 g/kg"}, "acid", "a syrup's stands in its file"),
        ({"liquid": "lime-juice", "acid": "sour"}, "acid", '"sour"'),
        ({"mass": "2 l"}, "mass", "is not a mass"),
        ({"volume": "2 kg"}, "volume", "is not a volume"),
        ({"mass": "2 kg", "volume": "2 l"}, "volume", "leave the other empty"),
        ({"made": "2026-11-27"}, "made", "is still to come"),
        ({"made": "some day"}, "made", '"some day"'),
        ({"discard": "32 Nov"}, "discard", "32 Nov"),
        ({"liquid": "raspberry-syrup", "made": "2026-11-20", "discard": "2026-11-10"}, "liquid", "before it was made"),
        ({"liquid": "raspberry-syrup", "made": "2026-11-01", "open": "1"}, "liquid", "is over"),
    ],
)
def test_every_error_of_a_making_stands_at_its_field(
    unlogged: Sitting,
    typed: Mapping[str, str],
    field: str,
    said: str,
) -> None:
    phone, before = unlogged.device(), unlogged.log
    page = phone.sent(phone.get("/batches/new"), "Log it", **typed)
    assert page.status in (409, 422)
    assert said in page.wrong()[field]
    form, _ = page.form("Log it")
    for name, text in typed.items():
        assert form.fields[name] == (text if (name, text) != ("liquid", "no-such") else "")
    assert unlogged.log == before


@pytest.mark.parametrize(
    ("batch", "button", "typed", "field", "said"),
    [
        ("RAS-12", "Log it", {}, "brix", "give what was read"),
        ("RAS-12", "Log it", {"brix": "x"}, "brix", '"x"'),
        ("LIM-1", "Log it", {"acid": ""}, "acid", "give what was read"),
        ("LIM-1", "Log it", {"acid": "9 %"}, "acid", "9 %"),
        ("RAS-12", "Log it", {"brix": "54", "mass": "a lot"}, "mass", '"a lot"'),
        ("RAS-12", "Log the correction", {"brix": "0"}, "brix", '"0"'),
        ("RAS-12", "Log the correction", {"mass": "-2"}, "mass", "-2"),
        ("RAS-12", "Log the correction", {"with": "gold-rum"}, "with", "brings alcohol"),
        ("RAS-12", "Log the correction", {"with": "no-such"}, "with", "choose another"),
    ],
)
def test_every_error_about_a_batch_stands_at_its_field(
    unlogged: Sitting,
    batch: str,
    button: str,
    typed: Mapping[str, str],
    field: str,
    said: str,
) -> None:
    phone, before = unlogged.device(), unlogged.log
    page = phone.sent(phone.get(f"/batches/{batch}"), button, "reading" if button == "Log it" else "", **typed)
    assert page.status == 422
    assert said in page.wrong()[field]
    assert unlogged.log == before


def test_what_cannot_be_done_is_told_and_nothing_is_logged(unlogged: Sitting) -> None:
    phone, before = unlogged.device(), unlogged.log
    page = phone.get("/batches/RAS-12")
    for deed, fields, said in (
        ("open", {}, "RAS-12 is open already: nothing to do"),
        ("correct", {"brix": "40", "with": "rich-syrup"}, "cannot have brought it to 40"),
        ("undo", {"number": "99"}, "has no entry number 99"),
        ("undo", {"at": "2026-01-01T10:00:00+01:00"}, "RAS-12 has no line of that moment"),
        ("undo", {"at": "2026-11-24T15:30:00+01:00"}, "RAS-12 has no line of that moment"),  # of STR-1
    ):
        refused = phone.post(f"/batches/RAS-12/{deed}", {**secrets_of(page), **fields})
        assert refused.status == 409, refused.words
        assert "Nothing was logged." in refused.words
        assert said in refused.words
        assert "balancer " not in refused.words
    assert phone.post("/batches/RAS-12/undo", secrets_of(page)).status == 404
    assert phone.post("/batches/RAS-12/sell", secrets_of(page)).status == 404
    assert phone.get("/batches/RAS-99").status == 404
    assert phone.get("/batches/RAS-12/empty").status == 200  # a form's address asked for again is the batch's
    assert unlogged.log == before


def test_a_doubtful_reading_asks_once_more(sitting: Sitting) -> None:  # noqa: F811
    """Far from its standard, nothing is shown until somebody says that it is meant; and then it can be logged."""
    phone, before = sitting.device(), sitting.log
    page = phone.get("/read", RAS | {"reading": "12"})
    assert "12" in page.result
    assert not page.root.find("ol", "pours")
    assert "Log " not in page.result
    refused = phone.post("/read", {**RAS, "reading": "12", **secrets_of(page)})
    assert refused.status == 409
    assert sitting.log == before
    page = phone.press(page, "Yes, it is meant")
    assert "Read it again" in page.result
    done = phone.press(page, "Log 11.3 °Bx for RAS-12")
    assert "read 11.3 °Bx" in done.words
    assert sitting.log[-1]["brix"] == pytest.approx(11.3, abs=0.05)


def test_yes_answers_what_was_shown_and_nothing_else(sitting: Sitting) -> None:  # noqa: F811
    """That 12 is meant does not say that a prism at 45 °C is."""
    phone, before = sitting.device(), sitting.log
    page = phone.press(phone.get("/read", RAS | {"reading": "12", "temperature": "45"}), "Yes, it is meant")
    assert "is a digit or the decimal point wrong?" in page.result
    asked = phone.sent(page, "Log it all the same")
    assert asked.status == 409
    assert "45 °C" in asked.result
    assert sitting.log == before
    phone.press(asked, "Yes, it is meant: Log 11.3 °Bx")
    assert len(sitting.log) == len(before) + 1


def test_undone_where_another_took_its_place(sitting: Sitting) -> None:  # noqa: F811
    """The line that a bottle was used up is that of the one opened in its place; undone, both pages say so."""
    phone = sitting.device()
    page = phone.press(phone.get("/batches/new"), "Log it", liquid="raspberry-syrup", brix="50")
    phone.press(page, "Open RAS-13", replaces="RAS-12")
    page = phone.press(phone.get("/batches/RAS-12"), "Undo used up")
    assert "Undone 20:16: RAS-12 used up: RAS-13 opened in its place" in page.words
    assert "Not yet open" in phone.get("/batches/RAS-13").words
    phone.press(page, "Bring it back")
    assert "RAS-12 is empty" not in phone.get("/batches/RAS-12").words


def test_a_strength_far_from_the_last_asks_before_it_is_logged(sitting: Sitting) -> None:  # noqa: F811
    """45 for 54, two digits swapped: 54.0 was read before."""
    phone, before = sitting.device(), sitting.log
    page = phone.get("/read", RAS | {"reading": "45"})
    asked = phone.sent(page, "Log 44.6 °Bx for RAS-12", by="Runa")
    assert asked.status == 409
    assert "RAS-12 read 54 °Bx before: is a digit of 45 wrong (54)?" in asked.words
    assert sitting.log == before
    phone.press(asked, "Yes, it is meant: Log 44.6 °Bx")
    assert (sitting.log[-1]["event"], sitting.log[-1]["by"]) == ("reading", "Runa")


@pytest.mark.parametrize(
    ("reading", "said"), [("10 54", "too far apart to log"), ("55", "is the end of your refractometer")]
)
def test_what_is_no_strength_to_log_has_no_button(unlogged: Sitting, reading: str, said: str) -> None:
    phone, before = unlogged.device(), unlogged.log
    page = phone.get("/read", RAS | {"reading": reading, "yes": "1"})
    assert said in page.result
    assert "Log " not in page.result
    shown = phone.get("/read", RAS | {"reading": "54"}).form("Log ")[0].fields
    assert phone.post("/read", shown | {"reading": reading, "yes": "1"}).status == 409
    assert unlogged.log == before


def test_every_doubt_about_a_making_is_shown_before_one_answer_meets_them_all(sitting: Sitting) -> None:  # noqa: F811
    phone, before = sitting.device(), sitting.log
    page = phone.sent(phone.get("/batches/new"), "Log it", liquid="raspberry-syrup", brix="9", mass="2")
    assert page.status == 409
    assert "2 g is less than a batch" in page.words
    assert "9 °Bx" in page.words
    assert sitting.log == before
    phone.press(page, "Yes, it is meant")
    assert {key: sitting.log[-1][key] for key in ("batch", "brix", "mass")} == {"batch": "RAS-13", "brix": 9, "mass": 2}


def test_a_doubtful_reading_by_hand_and_a_doubtful_mass_ask(sitting: Sitting) -> None:  # noqa: F811
    phone, before = sitting.device(), sitting.log
    page = phone.sent(phone.get("/batches/RAS-12"), "Log it", "reading", brix="45")
    assert (page.status, sitting.log == before) == (409, True)
    assert "is a digit of 45 wrong (54)?" in page.words
    phone.press(page, "Yes, it is meant", "reading")
    page = phone.sent(phone.get("/batches/RAS-12"), "Log the correction", mass="900 kg")
    assert page.status == 409
    phone.press(page, "Yes, it is meant")
    assert [line["event"] for line in sitting.log[len(before) :]] == ["reading", "correct"]


def test_a_form_sent_twice_logs_once(sitting: Sitting) -> None:  # noqa: F811
    """A double tap, a reload: both lead to what the first one logged."""
    phone = sitting.device()
    page = phone.get("/read", RAS | {"reading": "54"})
    form, _ = page.form("Log 53.7")
    first, second = phone.post("/read", form.fields), phone.post("/read", form.fields)
    assert first.status == second.status == 303
    assert first.location == second.location
    assert [line["event"] for line in sitting.log].count("reading") == 1
    assert phone.press(phone.get("/read", RAS | {"reading": "54"}), "Log 53.7").status == 200  # another form is another
    assert [line["event"] for line in sitting.log].count("reading") == 2


def test_many_taps_at_once_log_once(sitting: Sitting) -> None:  # noqa: F811
    phone = sitting.device()
    fields = phone.get("/batches/RAS-12").form("RAS-12 is empty")[0].fields
    with ThreadPoolExecutor(8) as pool:
        done = list(pool.map(lambda _: phone.post("/batches/RAS-12/empty", fields), range(8)))
    assert {one.status for one in done} == {303}
    assert len({one.location for one in done}) == 1
    assert [line["event"] for line in sitting.log if line["batch"] == "RAS-12"] == ["made", "open", "empty"]


def test_a_form_from_before_a_new_start_is_refused(sitting: Sitting) -> None:  # noqa: F811
    """Whether it was logged before the page stopped, only a look at the log tells."""
    phone, before = sitting.device(), sitting.log
    fields = phone.get("/batches/RAS-12").form("RAS-12 is empty")[0].fields
    again = Device(TestClient(page_app(OpenHouse(sitting.specs), PageSettings(), KEY), base_url=ORIGIN))
    again.client.cookies = phone.client.cookies
    refused = again.post("/batches/RAS-12/empty", fields)
    assert refused.status == 409
    assert "see first whether it is logged" in refused.words
    assert sitting.log == before


def test_numbers_of_forms() -> None:
    """What failed may be sent again; what is forgotten, made up or malformed is never done."""
    once, done = Once(remembered=2), []
    first = once.number()

    def fails() -> str:
        raise ValueError

    with pytest.raises(ValueError):  # noqa: PT011 - it is ours
        once.do(first, fails)
    for number in (first, once.number(), once.number()):
        once.do(number, lambda number=number: done.append(number) or number)  # type: ignore[misc,func-returns-value]
    assert len(done) == 3
    start = first.partition("-")[0]
    for wrong in (first, f"{start}-4", f"{start}-0", f"{start}--1", f"{start}-", "", "0-1", f"{start}-{'9' * 400}"):
        with pytest.raises(RefusedError):
            once.do(wrong, lambda: pytest.fail("it was done"))


def test_the_name_is_kept_on_the_device(sitting: Sitting) -> None:  # noqa: F811
    phone, tablet = sitting.device(), sitting.device()
    page = phone.get("/read", RAS | {"reading": "54"})
    answer = phone.client.post(
        "/read", data=page.form("Log 53.7")[0].fields | {"by": "  Zoë \t B. "}, headers={"Origin": ORIGIN},
        follow_redirects=False,
    )  # fmt: skip
    cookie = next(text for text in answer.headers.get_list("set-cookie") if text.startswith(BY_COOKIE))
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    assert sitting.log[-1]["by"] == "Zoë B."
    page = phone.get("/batches/RAS-12")
    assert "Logged as Zoë B." in page.words
    phone.press(page, "RAS-12 is empty")
    assert sitting.log[-1]["by"] == "Zoë B."
    assert "Zoë" not in tablet.get("/name").words
    phone.press(phone.get("/name"), "Keep it", by="Ansgar")
    phone.press(phone.get("/batches/HON-1"), "HON-1 is empty")
    assert sitting.log[-1]["by"] == "Ansgar"
    phone.press(phone.get("/name"), "Keep it", by="")
    phone.press(phone.get("/batches/SIM-1"), "SIM-1 is empty")
    assert "by" not in sitting.log[-1]


def test_a_name_is_one_short_line(sitting: Sitting) -> None:  # noqa: F811
    phone = sitting.device()
    phone.press(phone.get("/name"), "Keep it", by="a\nb\x00\u2028c" + "x" * 35)
    phone.press(phone.get("/batches/HON-1"), "HON-1 is empty")
    assert sitting.log[-1]["by"] == "a b c" + "x" * 35
    before, count = sitting.log, len(sitting.log)
    page = phone.get("/read", RAS | {"reading": "54"})
    for refused in (
        phone.sent(phone.get("/name"), "Keep it", by="y" * 41),
        phone.post("/read", page.form("Log 53.7")[0].fields | {"by": "y" * 41}),
        phone.post(
            "/batches/SIM-1/empty", phone.get("/batches/SIM-1").form("SIM-1 is empty")[0].fields | {"by": "y" * 41}
        ),
    ):
        assert refused.status == 409
        assert "goes on for 41 letters" in refused.words
        assert "write at most 40" in refused.words
    assert sitting.log == before
    phone.press(phone.get("/batches/SIM-1"), "SIM-1 is empty")
    assert sitting.log[count]["by"] == "a b c" + "x" * 35


def test_an_undo_asks_where_something_was_built_on_it(sitting: Sitting) -> None:  # noqa: F811
    phone = sitting.device()
    page = phone.press(phone.get("/batches/new"), "Log it", liquid="ginger-syrup", brix="50")
    fields = page.form("Undo", "done")[0]
    phone.press(page, "Open GIN-3")
    count = len(sitting.log)
    asked = phone.post(fields.action, fields.fields)
    assert asked.status == 409
    assert "GIN-3 was opened since it was made. Take all of GIN-3 back?" in asked.words
    assert len(sitting.log) == count
    done = phone.press(asked, "Yes, take all of GIN-3 back")
    assert "not in the house: its making does not count" in done.words.casefold()
    assert "GIN-3" not in phone.get("/batches").words


def test_a_making_that_another_replaced_is_not_taken_back(sitting: Sitting) -> None:  # noqa: F811
    phone = sitting.device()
    page = phone.press(phone.get("/batches/new"), "Log it", liquid="raspberry-syrup", brix="50")
    phone.press(page, "Open RAS-13", replaces="RAS-12")
    before = sitting.log
    refused = phone.sent(phone.get("/batches/RAS-12"), "Undo made")
    assert refused.status == 409
    assert "RAS-12" in refused.words
    assert sitting.log == before


def test_a_reading_whose_meaning_has_changed_is_shown_again(sitting: Sitting) -> None:  # noqa: F811
    """Nothing is logged but what the button said: here the instrument was set otherwise in between."""
    phone, before = sitting.device(), sitting.log
    page = phone.get("/read", {"what": "liquid:agave-syrup", "reading": "51"})
    tablet = sitting.device()
    tablet.press(tablet.get("/batches/new"), "Log it", liquid="agave-syrup", brix="50", open="1")
    shown = phone.sent(page, "Log 51.9 °Bx as a new batch of agave syrup")
    assert shown.status == 409
    assert "Nothing is logged yet." in shown.words
    assert len(sitting.log) == len(before) + 2
    asked = phone.sent(shown, "Log 51.9 °Bx for AGA-1")
    assert "AGA-1 was read 50 at 20:16: still log 51.9?" in asked.words
    phone.press(asked, "Yes, it is meant")
    assert sitting.log[-1]["batch"] == "AGA-1"


HOSTILE = "<script>alert(1)</script>'\"><img src=x onerror=alert(2)>{{7*7}}"


def test_hostile_text_in_every_field_is_text(sitting: Sitting) -> None:  # noqa: F811
    """Whatever is typed comes back as text, in fields, errors and the log, and no tag of it is ever a tag."""
    phone = sitting.device()
    names = ("what", "reading", "temperature", "acid", "sample", "water", "yes")
    pages = [phone.get("/read", dict.fromkeys(names, HOSTILE) | {"dilute": "yes"})]
    base = secrets_of(phone.get("/batches/RAS-12"))
    assert base["once"]
    new = ("liquid", "brix", "acid", "mass", "volume", "made", "discard", "open", "by")
    pages.append(phone.post("/batches/new", {**base, **dict.fromkeys(new, HOSTILE)}))
    pages.append(phone.post("/batches/new", {**base, **dict.fromkeys(new, HOSTILE), "by": HOSTILE[:40]}))
    forms: dict[str, tuple[str, ...]] = {
        "reading": ("brix", "acid", "mass"),
        "correct": ("brix", "mass", "with"),
        "open": ("replaces",),
        "undo": ("number", "at"),
    }
    for deed, typed in forms.items():
        pages.append(phone.post(f"/batches/RAS-12/{deed}", {**base, **dict.fromkeys(typed, HOSTILE)}))
    pages.append(phone.sent(phone.get("/name"), "Keep it", by=HOSTILE))
    pages.append(phone.press(phone.get("/name"), "Keep it", by=HOSTILE[:40]))
    pages.append(phone.press(phone.get("/batches/HON-1"), "HON-1 is empty"))
    pages.append(phone.get("/batches/HON-1", {"done": HOSTILE}))
    pages.append(phone.get(f"/batches/{HOSTILE.replace('/', '')}"))
    with (sitting.specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write(
            '- {"batch": "<b>X-1</b>", "syrup": "raspberry-syrup", "event": "made", "brix": 50, "by": "<i>Q</i>", '
            '"note": "<script>n</script>", "made": "2026-11-25", "at": "2026-11-25T18:00:00+01:00"}\n'
        )
    pages += [phone.get("/batches"), phone.get("/batches/b-x-1-b")]
    assert "<b>X-1</b>" in pages[-1].words
    assert "“<script>n</script>”" in pages[-1].words
    for page in pages:
        assert not page.root.find("img")
        assert {node.attributes.get("src") for node in page.root.find("script")} <= {
            "/static/htmx.min.js",
            "/static/page.js",
        }
        assert "<script>" not in page.html
    assert html.escape("<script>alert(1)</script>") in pages[2].html
    assert "{{7*7}}" in pages[2].html


def test_a_device_without_the_key_only_reads(unlogged: Sitting) -> None:
    """On a network: every page is shown, no form that logs is, and one that is sent all the same is refused."""
    app = page_app(OpenHouse(unlogged.specs), PageSettings(host="0.0.0.0"), KEY)  # noqa: S104
    phone = Device(TestClient(app, base_url=ORIGIN))
    before = unlogged.log
    for address in ("/batches", "/batches/RAS-12", "/batches/ALM-1", "/batches/new", "/name", "/read?what=batch:RAS-12&reading=54"):  # fmt: skip  # noqa: E501
        page = phone.get(address)
        assert page.status == 200
        assert {
            form.attributes["action"] for form in page.root.find("form") if form.attributes["method"] == "post"
        } == {"/light"}, address
        assert "This device only reads" in page.words
    token = {"token": token_of(phone.get("/batches").html)}
    for address in ("/read", "/batches/new", "/batches/RAS-12/empty", "/batches/RAS-12/undo", "/name"):
        assert phone.post(address, token | RAS | {"reading": "54"}).status == 403
    assert unlogged.log == before


def test_remedies_lose_what_only_a_terminal_can_do() -> None:
    assert untyped("as open batches read: ginger syrup 47.4 °Bx (--alone: at standard)") == (
        "as open batches read: ginger syrup 47.4 °Bx"
    )
    assert untyped("GIN-1 is open too: use one up first, then balancer batch empty GIN-1") == "GIN-1 is open too"
    assert untyped("write it like 28C or 82F") == "write it like 28C or 82F"


def secrets_of(page: Shown) -> dict[str, str]:
    """What every form of a page carries."""
    found = re.search(r'name="once" value="([^"]+)"', page.html)
    return {"token": token_of(page.html), "once": found[1] if found else ""}
