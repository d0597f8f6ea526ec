"""The batch log: what was made, opened, read, corrected, used up."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Annotated

import typer

from balancer.asking import names
from balancer.asking.additives import additive_called
from balancer.asking.batches import batches_of
from balancer.cli.completion import BATCHES, LIQUIDS, STOCK
from balancer.cli.help import CommandSet
from balancer.cli.options import CauseText, Uncertainty, VolumeText, Yes
from balancer.cli.runner import Answer, answering
from balancer.cli.terminal import ask
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.logbook import log_made, made_on
from balancer.desk.logged import Logged, batch_called
from balancer.desk.rail import rail_after
from balancer.engine.batch import events, undoing
from balancer.engine.batch.contents import Unsaid, unsaid_of
from balancer.engine.batch.doubts import noted_doubts
from balancer.engine.batch.history import CLOSED
from balancer.engine.batch.notes import BatchNow, Caution, cautions, combining_cautions, describe
from balancer.engine.batch.record import Deed, record, recorded_id
from balancer.engine.batch.undoing import Chosen
from balancer.engine.batch.weight import filled, mass_after
from balancer.engine.service.tonight import all_as_written
from balancer.errors import UsageError
from balancer.models.batch import Event, LogEntry
from balancer.output.data.batches import done_data
from balancer.output.data.record import record_data, undone_data
from balancer.output.screen.batches import Change, added_text, list_text, state_text, strength_text
from balancer.output.screen.record import record_text, undone_text
from balancer.output.words.amounts import large_volume
from balancer.output.words.record import built_on_question
from balancer.output.words.strips_moved import strip_rows
from balancer.output.words.unsaid import logged_text
from balancer.units import Quantity

group = CommandSet("batch", "Log what was made, opened, read and used up.")

BatchName = Annotated[
    str,
    typer.Argument(metavar="BATCH", autocompletion=BATCHES, help="The id on the tape, or its syrup if that is clear."),
]
StockName = Annotated[
    str,
    typer.Argument(metavar="BATCH", autocompletion=STOCK, help="The id on the tape, or its syrup if that is clear."),
]
By = Annotated[str | None, typer.Option("--by", metavar="NAME", help="Who did it.")]
Note = Annotated[str | None, typer.Option("--note", "-n", metavar="WORDS", help="A remark.")]
BrixText = Annotated[str | None, typer.Option("--brix", "-b", metavar="BRIX", help="Strength, °Bx.")]
MassText = Annotated[str | None, typer.Option("--mass", "-m", metavar="MASS", help="What it weighs, like 2kg.")]
Acid = Annotated[str | None, typer.Option("--acid", metavar="ACID", help="Of an ingredient, like 52g/l.")]


@group.command("add")
@answering()
def add_command(  # noqa: PLR0913, PLR0917 - one for each option
    desk: Desk,
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="SYRUP [STRENGTH]",
            autocompletion=LIQUIDS,
            help="What was made, or the ingredient that was measured; and its strength, °Bx.",
        ),
    ],
    brix: BrixText = None,
    mass: MassText = None,
    volume: VolumeText = None,
    made: Annotated[str | None, typer.Option("--made", metavar="DATE", help="When; today if left out.")] = None,
    by: By = None,
    cause: CauseText = None,
    uncertainty: Uncertainty = None,
    acid: Acid = None,
    discard: Annotated[
        str | None, typer.Option("--discard", metavar="DATE", help="Last day of use; from keeps if left out.")
    ] = None,
    note: Note = None,
    is_open: Annotated[bool, typer.Option("--open", help="It goes into use at once.")] = False,
    replaces: Annotated[
        str | None,
        typer.Option(
            "--replaces", metavar="BATCH", autocompletion=BATCHES, help="And in place of this one, which is empty."
        ),
    ] = None,
    yes: Yes = False,
) -> Answer:
    """Log a batch that was made, and get the id for its tape."""
    syrup, brix = _name_and_strength(words, brix)
    kinds: tuple[names.NamedKind, ...] = ("syrup", "ingredient") if acid is None else ("ingredient", "syrup")
    liquid = names.made(desk, syrup, *kinds, is_first=bool(brix or acid))
    day = made_on(desk, made, "--made")
    if mass is not None and volume is not None:
        raise UsageError("usage", "--mass and --volume: one of them says how much there is", "leave one out")
    draft = replace(
        _measured(desk, "made", brix, uncertainty, cause, mass, acid, by, note),
        liquid=liquid,
        made=day,
        discard=desk.day(discard, "--discard", "ahead") if discard else None,
    )
    odd = noted_doubts(desk.bar, liquid, brix=draft.brix, acid=draft.acid, mass_g=draft.mass)
    desk.believe(odd, is_meant=yes)
    filled_ml = values.volume(volume, "--volume", desk.house.measures()) if volume else None
    if filled_ml is not None:
        draft = filled(desk.bar, draft, filled_ml)
    logged = log_made(desk, draft, is_open=is_open, replaces=replaces)
    item = _now(desk, logged)
    text = partial(added_text, filled=None if filled_ml is None else large_volume(filled_ml, desk.house))
    return _told(desk, logged, text, cautions(item, logged.after), _unsaid(desk, logged))


def _name_and_strength(words: list[str], brix: str | None) -> tuple[str, str | None]:
    """What was made, and how strong, wherever that was said."""
    numbers, name = values.numbers_and_name(words)
    said = [*numbers, *([brix] if brix else [])]
    if not name:
        raise UsageError("usage", f'"{" ".join(words)}" is no name', "say what was made: batch add ras 54")
    if len(said) > 1:
        raise UsageError("usage", f"{' and '.join(said)} are two strengths", "give one")
    return name, said[0] if said else None


@group.command("open")
@answering()
def open_command(
    desk: Desk,
    batch: StockName,
    replaces: Annotated[
        str | None,
        typer.Option("--replaces", metavar="BATCH", autocompletion=BATCHES, help="The batch that is empty now."),
    ] = None,
    by: By = None,
    note: Note = None,
) -> Answer:
    """A batch goes into use."""
    logged = desk.log(lambda log: events.open_batch(log, desk.specs, batch, desk.stamp(by, note), replaces=replaces))
    item = _now(desk, logged)
    replaced = [batch_called(logged.after, other) for other in logged.entries[0].refers]
    stays = not desk.loaded.broken and all_as_written(desk.bar, item.batch, logged.after, desk.today)
    unsaid = _unsaid(desk, logged)
    text = partial(state_text, replaced=replaced, as_written=stays and unsaid is None)
    return _told(desk, logged, text, cautions(item, logged.after), unsaid)


@group.command("empty")
@answering()
def empty_command(desk: Desk, batch: BatchName, by: By = None, note: Note = None) -> Answer:
    """A batch is used up."""
    logged = desk.log(lambda log: events.empty(log, desk.specs, batch, desk.stamp(by, note)))
    return _told(desk, logged, state_text)


@group.command("discard")
@answering()
def discard_command(desk: Desk, batch: BatchName, by: By = None, note: Note = None) -> Answer:
    """A batch is discarded: nobody uses it any more."""
    logged = desk.log(lambda log: events.discard(log, desk.specs, batch, desk.stamp(by, note)))
    return _told(desk, logged, state_text)


@group.command("correct")
@answering()
def correct_command(
    desk: Desk,
    batch: BatchName,
    brix: BrixText = None,
    mass: MassText = None,
    additive: Annotated[
        str | None, typer.Option("--with", metavar="WHAT", help="What went in, if not water or sugar: name or °Bx.")
    ] = None,
    by: By = None,
    note: Note = None,
    yes: Yes = False,
) -> Answer:
    """A batch was brought to a strength: standard, or the one given. With --mass alone it was only weighed."""
    strength = values.brix(brix, "--brix") if brix else None
    grams = values.mass(mass, "--mass") if mass else None
    added = additive_called(desk, additive).brix if additive else None
    _believe(desk, batch, brix=strength, mass=grams, is_meant=yes)
    logged = desk.log(
        lambda log: events.correct(
            log, desk.bar, batch, desk.stamp(by, note), brix=strength, mass=grams, additive_brix=added
        )
    )
    if logged.entries[0].brix is None:
        return _read(desk, logged, strength_text, done="weighed")
    before = batch_called(logged.before, logged.entries[0].batch)
    after = mass_after(before, logged.entries[0].brix, added) if grams is None else None
    return _read(desk, logged, partial(strength_text, after=after), done="corrected")


@group.command("reading")
@answering()
def reading_command(  # noqa: PLR0913, PLR0917 - one for each option
    desk: Desk,
    batch: BatchName,
    strength: Annotated[str | None, typer.Argument(metavar="STRENGTH", help="What it reads, °Bx.")] = None,
    brix: BrixText = None,
    uncertainty: Uncertainty = None,
    acid: Acid = None,
    mass: MassText = None,
    cause: CauseText = None,
    by: By = None,
    note: Note = None,
    yes: Yes = False,
) -> Answer:
    """A batch was read: its strength from now on."""
    if strength and brix:
        raise UsageError("usage", f"{strength} and {brix} are two strengths", "give one")
    brix = strength or brix
    if brix is None and acid is None:
        raise UsageError("usage", "there is no reading", "give --brix, or --acid for an ingredient")
    measured = _measured(desk, "reading", brix, uncertainty, cause, mass, acid, by, note)
    _believe(desk, batch, brix=measured.brix, acid=measured.acid, mass=measured.mass, is_read=True, is_meant=yes)
    logged = desk.log(lambda log: events.reading(log, desk.specs, batch, measured))
    return _read(desk, logged, strength_text, done="read")


@group.command("combine")
@answering()
def combine_command(desk: Desk, first: BatchName, second: BatchName, by: By = None, note: Note = None) -> Answer:
    """Two batches of one syrup were poured together: a new batch, with the oldest part's dates."""
    logged = desk.log(
        lambda log: events.combined(
            log, desk.specs, first, second, desk.stamp(by, note), reserved=desk.lost_ids, device=desk.device
        )
    )
    parts = [batch_called(logged.before, part) for part in logged.entries[0].refers]
    item = _now(desk, logged)
    notes = (*combining_cautions(parts), *cautions(item, logged.after))
    return _told(desk, logged, added_text, notes, _unsaid(desk, logged))


@group.command("undo")
@answering()
def undo_command(
    desk: Desk,
    batch: Annotated[
        str | None,
        typer.Argument(
            metavar="BATCH", autocompletion=BATCHES, help="Its last entry that counts; of any batch if left out."
        ),
    ] = None,
    number: Annotated[str | None, typer.Argument(metavar="N", help="Or that number in batch show.")] = None,
    entry: Annotated[str | None, typer.Option("--entry", metavar="N", help="The number, written out.")] = None,
    restore: Annotated[bool, typer.Option("--restore", help="Bring back what the last undo took away.")] = False,
    by: By = None,
    note: Note = None,
    yes: Annotated[
        bool, typer.Option("--yes", "-y", help="With a making, all that was logged of its batch since.")
    ] = False,
) -> Answer:
    """Take back the last thing logged; again, the one before. Or the last or a chosen entry of one batch."""
    chosen_number = _number(number, entry)
    identity = recorded_id(desk.entries, desk.specs, desk.batches, batch) if batch is not None else None
    if chosen_number is not None and (identity is None or restore):
        told = "--restore brings back the last undo as it was" if restore else "a number is of one batch"
        raise UsageError("usage", told, "leave out the number" if restore else "balancer batch undo BATCH N")
    touched: list[Deed] = []
    if restore:
        undo = undoing.last_undo(desk.entries, identity)

        def make(log: Sequence[LogEntry]) -> Sequence[LogEntry]:
            entries, touched[:] = undoing.bring_back(log, undo, desk.stamp(by, note), identity)
            return entries
    else:
        chosen = _chosen(desk, identity, chosen_number, takes_all=yes)

        def make(log: Sequence[LogEntry]) -> Sequence[LogEntry]:
            entries, touched[:] = undoing.take_back(log, chosen, desk.stamp(by, note))
            return entries

    logged = desk.log(make)
    items = [describe(desk.bar, one, desk.today) for one in undoing.concerned(touched, logged.after)]
    moved = rail_after(desk, logged)
    return Answer(
        lambda: undone_text(touched, items, strip_rows(moved, logged.entries[0].batch), restored=restore),
        lambda: undone_data(touched, items, moved, restored=restore),
        about=(),
        code=0,
    )


@group.command("show")
@answering()
def show_command(desk: Desk, batch: BatchName) -> Answer:
    """Everything logged of a batch, numbered, what was taken back too."""
    identity = recorded_id(desk.entries, desk.specs, desk.batches, batch)
    found = record(desk.entries, desk.specs, identity)
    item = describe(desk.bar, found.batch, desk.today) if found.batch else None
    source = desk.specs.find_liquid(found.liquid)
    name = source.name if source else found.liquid
    restorable = undoing.can_bring_back(desk.entries, identity)
    return Answer(
        lambda: record_text(found, item, name, desk.today, restorable=restorable),
        lambda: record_data(found, item, name),
        about=[found.liquid],
        code=0,
    )


@group.command("list")
@answering()
def list_command(
    desk: Desk,
    every: Annotated[bool, typer.Option("--all", "-a", help="Those used up or discarded too.")] = False,
) -> Answer:
    """The batches in the house, the one to use first before the others. With --json, every batch of the log."""
    outcome = batches_of(desk)
    shown = [one for one in outcome.result if every or one.batch.state not in CLOSED]
    others = len(outcome.result) - len(shown)
    return Answer(lambda: list_text(shown, desk.today, others=others), outcome.data, about=outcome.about)


def _number(text: str | None, entry: str | None) -> int | None:
    """The number of an entry, typed in either way."""
    if text is not None and entry is not None and text != entry:
        raise UsageError("usage", f"--entry {entry}: the number is {text} already", "leave one out")
    typed = text if text is not None else entry
    if typed is None:
        return None
    if not typed.isdecimal():
        raise UsageError("usage", f'"{typed}" is not the number of an entry', "balancer batch show BATCH has them")
    return int(typed)


def _is_asked(desk: Desk) -> bool:
    """Whether somebody sits at the terminal."""
    return not desk.as_json and sys.stdin.isatty()


def _chosen(desk: Desk, batch: str | None, number: int | None, *, takes_all: bool) -> tuple[Chosen, ...]:
    """What is to be taken back, of the log as the person saw it; a making only where they know what goes with it."""
    if batch is None:
        return (undoing.last_logged(desk.entries),)
    if number is None:
        chosen = (undoing.last_of(desk.entries, desk.specs, batch),)
    else:
        chosen = (undoing.numbered(desk.entries, desk.specs, batch, number),)
    since = undoing.built_on(desk.entries, chosen)
    if since.own and not since.others and (takes_all or (_is_asked(desk) and ask(built_on_question(since)))):
        return undoing.with_all_since(desk.entries, chosen)
    return chosen


def _believe(
    desk: Desk,
    batch: str,
    *,
    brix: float | None = None,
    acid: Quantity | None = None,
    mass: float | None = None,
    is_read: bool = False,
    is_meant: bool,
) -> None:
    """Ask about what looks like a slip, of a batch that the log knows. is_read: the strength was read, not reckoned."""
    measured = brix is not None or acid is not None
    found = names.batch(desk.batches, desk.specs, batch, desk.today) if measured else None
    liquid, read = (found.liquid, found if is_read else None) if found else ("", None)
    desk.believe(noted_doubts(desk.bar, liquid, brix=brix, acid=acid, mass_g=mass, read=read), is_meant=is_meant)


def _measured(
    desk: Desk,
    event: Event,
    brix: str | None,
    uncertainty: str | None,
    cause: str | None,
    mass: str | None,
    acid: str | None,
    by: str | None,
    note: str | None,
) -> LogEntry:
    """What was found out about a batch; which one is still open."""
    stamp = desk.stamp(by, note)
    return LogEntry(
        batch="",
        event=event,
        at=stamp.at,
        brix=values.brix(brix, "--brix") if brix else None,
        uncertainty=values.uncertainty(uncertainty, "--uncertainty") if uncertainty else None,
        cause=values.cause(cause) if cause else None,
        mass=values.mass(mass, "--mass") if mass else None,
        by=stamp.by,
        note=stamp.note,
        acid=values.concentration(acid, "--acid") if acid else None,
    )


def _read(desk: Desk, logged: Logged, text: Callable[..., str], *, done: Change) -> Answer:
    """The answer of the commands that change what is known of a batch."""
    item = _now(desk, logged)
    notes = [note for note in cautions(item, logged.after) if note.kind in ("past", "weaker")]
    return _told(desk, logged, partial(text, done=done), notes)


def _now(desk: Desk, logged: Logged) -> BatchNow:
    """The batch that was logged, with what the files say of it."""
    return describe(desk.bar, logged.batch, desk.today)


def _unsaid(desk: Desk, logged: Logged) -> Unsaid | None:
    """What the cards do not tell of the batch that was logged, where it is open now."""
    return unsaid_of(desk.specs, logged.batch, logged.after, logged.log)


def _told(
    desk: Desk,
    logged: Logged,
    text: Callable[..., str],
    notes: Sequence[Caution] = (),
    unsaid: Unsaid | None = None,
) -> Answer:
    """What was logged. Problems elsewhere are told, and do not make it undone."""
    item, moved = _now(desk, logged), rail_after(desk, logged)
    rail = strip_rows(moved, item.batch.id)
    heed = logged_text(unsaid, desk.specs) if unsaid else ""
    return Answer(
        lambda: text(item, notes, desk.today, rail=rail, **({"heed": heed} if heed else {})),
        lambda: done_data(item, notes, desk.today, moved, heed),
        about=(),
        code=0,
    )
