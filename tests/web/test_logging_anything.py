"""Whatever is typed into a form is answered: logged, or told; the page never fails, and the log stays a log."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balancer.web.once import FIELD as ONCE
from tests.examples import examples
from tests.web.sitting import Device, Sitting

pytestmark = pytest.mark.slow

FORMS = {
    "/read": ("what", "reading", "temperature", "dilute", "sample", "water", "acid", "yes", "sure", "shown", "by"),
    "/batches/new": ("liquid", "brix", "acid", "mass", "volume", "made", "discard", "open", "yes", "by"),
    "/batches/RAS-12/reading": ("brix", "acid", "mass", "yes"),
    "/batches/LIM-1/reading": ("acid", "brix", "yes"),
    "/batches/DEM-1/correct": ("brix", "mass", "with", "yes"),
    "/batches/DEM-1/open": ("replaces",),
    "/batches/RAS-12/empty": (),
    "/batches/GIN-1/discard": (),
    "/batches/RAS-12/undo": ("number", "at", "all"),
    "/batches/RAS-12/restore": ("at",),
    "/name": ("by",),
}
LIKELY = st.sampled_from(
    [
        "", "1", "yes", "54", "54,5 54", "12", "1.42nD", "1.2 SG", "0", "-1", "nan", "1e400", "½", "2 kg", "2 l", "28C",
        "batch:RAS-12", "batch:LIM-1", "liquid:agave-syrup", "raspberry-syrup", "lime-juice", "honey-syrup", "RAS-12",
        "2026-11-25", "2026-11-25T20:16:00+01:00", "yesterday", "50 g/l", "9 g/kg", "3", "99", "water",
    ]
)  # fmt: skip


@pytest.fixture(scope="module")
def open_bar() -> Iterator[tuple[Sitting, Device]]:
    """The demo house, and a device at its page."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        sitting = Sitting(Path(folder), patch)
        yield sitting, sitting.device()


@given(data=st.data(), address=st.sampled_from(sorted(FORMS)))
@settings(max_examples=examples(400))
def test_whatever_is_typed_is_answered(open_bar: tuple[Sitting, Device], data: st.DataObject, address: str) -> None:
    sitting, phone = open_bar
    typed = data.draw(st.fixed_dictionaries(dict.fromkeys(FORMS[address], LIKELY | st.text(max_size=40))))
    before = (sitting.specs / "batches.yaml").read_bytes()
    form, _ = phone.get("/batches/new").form("Log it")
    secret = {"token": form.fields["token"], ONCE: form.fields[ONCE]}
    answer = phone.post(address, {**typed, **secret})
    after = (sitting.specs / "batches.yaml").read_bytes()
    assert answer.status in (303, 404, 409, 422)
    assert after.startswith(before)
    new = after[len(before) :].decode()
    if answer.status != 303 or address == "/name":
        assert not new
    else:
        assert [json.loads(line.removeprefix("- "))["at"] for line in new.splitlines()]
        assert phone.get(answer.location).status == 200
    if address == "/read":
        assert phone.get(address, typed).status in (200, 404)
    assert phone.get("/batches").status == 200
