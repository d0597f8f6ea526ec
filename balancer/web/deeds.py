"""What can be done to a batch from its page: each form understood, and what it appends to the log or asks first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final, NamedTuple

from starlette.exceptions import HTTPException

from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.batch import events, undoing
from balancer.engine.batch.doubts import noted_doubts
from balancer.engine.batch.moved_since import refuse_moved
from balancer.engine.batch.read_lately import read_lately
from balancer.engine.batch.record import record
from balancer.engine.batch.undoing import Chosen
from balancer.engine.prep.correct import additive_of
from balancer.errors import CannotError, QuantityError
from balancer.models.batch import Batch, LogEntry
from balancer.models.days import parse_time
from balancer.output.words.record import built_on_question
from balancer.units import Quantity
from balancer.web.typed import Typed, in_unit

WAS: Final = "was"
"""The field that holds how the batch stood when what went in was reckoned for it."""

Appending = Callable[[Sequence[LogEntry]], Sequence[LogEntry]]


class Asks(NamedTuple):
    """What is asked before something is done: the questions, and the field that answers them with 1."""

    questions: tuple[str, ...]
    answer: str


@dataclass(frozen=True, slots=True)
class Sent:
    """A form that a person sent about a batch: which, and what they typed."""

    desk: Desk
    batch: Batch | None
    identity: str
    typed: Typed
    name: str | None

    @property
    def is_meant(self) -> bool:
        """Whether they said that what looks like a slip is meant."""
        return self.typed.text("yes") == "1"


class Doing(NamedTuple):
    """What a form comes to: what to append to the log, or what to ask first."""

    make: Appending | None
    asks: Asks | None = None


def _opened(sent: Sent) -> Doing:
    replaces = sent.typed.text("replaces") or None
    desk, stamp = sent.desk, sent.desk.stamp(sent.name)
    return Doing(lambda log: events.open_batch(log, desk.specs, sent.identity, stamp, replaces=replaces))


def _emptied(sent: Sent) -> Doing:
    desk, stamp = sent.desk, sent.desk.stamp(sent.name)
    return Doing(lambda log: events.empty(log, desk.specs, sent.identity, stamp))


def _discarded(sent: Sent) -> Doing:
    desk, stamp = sent.desk, sent.desk.stamp(sent.name)
    return Doing(lambda log: events.discard(log, desk.specs, sent.identity, stamp))


def _corrected(sent: Sent) -> Doing:
    desk, typed, stamp, was = sent.desk, sent.typed, sent.desk.stamp(sent.name), sent.typed.text(WAS)
    if was:
        refuse_moved(desk.entries, desk.specs, sent.identity, was)
    brix = typed.take("brix", values.brix)
    mass = typed.take("mass", in_unit(values.mass, "g"))
    if mass is None and typed.text("weigh") == "1":
        typed.refuse("mass", "weigh it, with what is in: nobody knows how much was poured of it since")
    added = typed.take("with", lambda text, _: _added_brix(desk, text))
    odd = _odd(sent, brix=brix, mass_g=mass)

    def make(log: Sequence[LogEntry]) -> Sequence[LogEntry]:
        if was:
            refuse_moved(log, desk.specs, sent.identity, was)
        return events.correct(log, desk.bar, sent.identity, stamp, brix=brix, mass=mass, additive_brix=added)

    return Doing(make, odd)


def _read(sent: Sent) -> Doing:
    desk, typed = sent.desk, sent.typed
    brix = typed.take("brix", values.brix)
    acid = typed.take("acid", in_unit(values.concentration, "g/l"))
    mass = typed.take("mass", in_unit(values.mass, "g"))
    if brix is None and acid is None and not typed.wrong:
        typed.refuse("acid" if "acid" in typed.fields else "brix", "give what was read")
    entry = LogEntry("", "reading", desk.at, brix=brix, acid=acid, mass=mass, by=sent.name)
    odd = _odd(sent, brix=brix, acid=acid, mass_g=mass, read=sent.batch)
    if odd is None and brix is not None and not sent.is_meant:
        told = read_lately(record(desk.entries, desk.specs, sent.identity), brix, desk.at, sent.name)
        odd = Asks((told,), "yes") if told else None
    return Doing(lambda log: events.reading(log, desk.specs, sent.identity, entry), odd)


def _added_brix(desk: Desk, identity: str) -> float:
    """The strength of what went into a batch, °Bx."""
    if desk.specs.find_liquid(identity) is None:
        raise CannotError("unknown-name", "no file that loaded says what this is", "choose another")
    return additive_of(desk.bar, identity, desk.in_use.strengths).brix


def _odd(
    sent: Sent,
    *,
    brix: float | None,
    mass_g: float | None,
    acid: Quantity | None = None,
    read: Batch | None = None,
) -> Asks | None:
    """What is odd about a strength, acid or mass, unless it was said to be meant. read: the batch, if it was read."""
    if sent.is_meant or sent.batch is None:
        return None
    told = noted_doubts(sent.desk.bar, sent.batch.liquid, brix=brix, acid=acid, mass_g=mass_g, read=read)
    return Asks(told, "yes") if told else None


def _undone(sent: Sent) -> Doing:
    """Take back what was logged at a moment, or a line by its number: that, whatever was logged since, or nothing."""
    desk, stamp = sent.desk, sent.desk.stamp(sent.name)
    chosen: tuple[Chosen, ...] = (_chosen(sent),)
    since = undoing.built_on(desk.entries, chosen)
    if since.own and not since.others:
        if sent.typed.text("all") != "1":
            return Doing(None, Asks((built_on_question(since),), "all"))
        chosen = undoing.with_all_since(desk.entries, chosen)
    return Doing(lambda log: undoing.take_back(log, chosen, stamp)[0])


def _chosen(sent: Sent) -> Chosen:
    number = sent.typed.text("number")
    if number.isascii() and number.isdecimal():
        return undoing.numbered(sent.desk.entries, sent.desk.specs, sent.identity, int(number[:9]))
    at = _moment(sent.typed.text("at"))
    if not any(entry.at == at and sent.identity in (entry.batch, *entry.refers) for entry in sent.desk.entries):
        raise CannotError("undone", f"{sent.identity} has no line of that moment", "see what was logged")
    return Chosen(at)


def _restored(sent: Sent) -> Doing:
    undo, stamp = Chosen(_moment(sent.typed.text("at"))), sent.desk.stamp(sent.name)
    return Doing(lambda log: undoing.bring_back(log, undo, stamp, sent.identity)[0])


def _moment(text: str) -> datetime:
    try:
        return parse_time(text)
    except QuantityError:
        raise HTTPException(404) from None


DEEDS: Final[dict[str, Callable[[Sent], Doing]]] = {
    "open": _opened, "empty": _emptied, "discard": _discarded, "correct": _corrected, "reading": _read,
    "undo": _undone, "restore": _restored,
}  # fmt: skip
"""What can be done to a batch, by the last word of the form's address."""
