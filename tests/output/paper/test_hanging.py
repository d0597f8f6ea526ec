"""What paper says of pours that hang on another bottle: until when on a strip, nothing to pour on a label."""

from __future__ import annotations

import pytest

from balancer.engine.service.labels import labels
from balancer.engine.service.strips import Strip
from balancer.engine.service.tonight import tonight
from balancer.output.paper.labels import batch_label
from balancer.output.paper.language import words_of
from balancer.output.paper.strips import paper_of, strips_page
from tests.engine.service.test_hanging import AT_STANDARD, HALVES, STRONG, of
from tests.engine.service.test_tonight import NIGHT


def said(strip: Strip, language: str = "en") -> tuple[str, list[str]]:
    page = strips_page([strip], NIGHT, HALVES.specs, paper_of("a4"), None, words_of(language))
    (item,) = page["items"]
    return item["until"], item["notes"]


@pytest.mark.parametrize(
    ("language", "until", "note"),
    [
        ("en", "this bottle or PLU-1 is empty, corrected or read again", "only beside PLU-1 as it is now: Half Half"),
        (
            "de",
            "diese Flasche oder PLU-1 leer, korrigiert oder neu gemessen ist",
            "nur neben PLU-1, wie es jetzt ist: Half Half",
        ),
    ],
)
def test_a_strip_says_with_which_bottle_it_ends(language: str, until: str, note: str) -> None:
    assert said(of(HALVES, AT_STANDARD, STRONG)["BER-12"], language) == (until, [note])


def test_a_strip_that_ends_with_its_own_correction_says_so_first() -> None:
    """No pour is right for the Pilot: 15 ml are 5.7 × 2 % too much, 10 ml a quarter too little."""
    until, _ = said(of(HALVES, AT_STANDARD, STRONG)["PLU-1"])
    assert until == "this one is corrected, or BER-12 is empty, corrected or read again"


@pytest.mark.parametrize(("language", "where"), [("en", "Half Half: see strip"), ("de", "Half Half: siehe Streifen")])
def test_a_label_leaves_them_to_the_strip(language: str, where: str) -> None:
    batches = (AT_STANDARD, STRONG)
    found = labels(HALVES, tonight(HALVES, batches, NIGHT), batches, [AT_STANDARD]).labels
    text = batch_label(found[0], NIGHT, HALVES.specs, words_of(language))
    assert (text.pours, text.exceptions, text.not_all) == ([], where, True)
