"""The batch log: what was made, opened, read, corrected, used up."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app

batch_app = typer.Typer(
    name="batch", help="Log what was made, opened and used up.", no_args_is_help=True, rich_markup_mode=None
)
app.add_typer(batch_app)

BatchName = Annotated[str, typer.Argument(metavar="BATCH", help="The id on the tape, or its syrup if that is clear.")]
By = Annotated[str | None, typer.Option("--by", metavar="NAME", help="Who did it.")]
Note = Annotated[str | None, typer.Option("--note", metavar="TEXT", help="A remark.")]
BrixOption = Annotated[str | None, typer.Option("--brix", metavar="BRIX", help="Strength, °Bx.")]
Uncertainty = Annotated[
    str | None, typer.Option("--uncertainty", metavar="BRIX", help="Standard uncertainty of the strength.")
]
MassOption = Annotated[str | None, typer.Option("--mass", metavar="MASS", help="What it weighs, like 2kg.")]
AcidOption = Annotated[str | None, typer.Option("--acid", metavar="ACID", help="Of an ingredient, like 52g/l.")]
Cause = Annotated[str | None, typer.Option("--cause", metavar="WHY", help="Why it is off: boiled, watered or sugar.")]


@batch_app.command("add")
@answers
def add_command(  # noqa: PLR0913, PLR0917 - one for each option
    syrup: Annotated[str, typer.Argument(metavar="SYRUP", help="What was made, or the ingredient that was measured.")],
    brix: BrixOption = None,
    mass: MassOption = None,
    made: Annotated[str | None, typer.Option("--made", metavar="DATE", help="When; today if left out.")] = None,
    by: By = None,
    cause: Cause = None,
    uncertainty: Uncertainty = None,
    acid: AcidOption = None,
    discard: Annotated[
        str | None, typer.Option("--discard", metavar="DATE", help="Last day of use; from keeps if left out.")
    ] = None,
    note: Note = None,
    is_open: Annotated[bool, typer.Option("--open", help="It goes into use at once.")] = False,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """Log a batch that was made, and get the id for its tape."""
    from balancer.cli import clock, values
    from balancer.cli.bench import Bench
    from balancer.engine.batch.events import add
    from balancer.engine.batch.notes import cautions
    from balancer.errors import UsageError
    from balancer.files.log.batch_log import lost_ids
    from balancer.models.batch import LogEntry
    from balancer.output.data.batches import done_data
    from balancer.output.screen.batches import added_text

    bench = Bench(specs, as_json=as_json)
    liquid = bench.liquid(syrup, is_ingredient=acid is not None)
    day = clock.day(made, "--made", bench.today) if made else bench.today
    if day > bench.at.date():
        raise UsageError("usage", f"--made: {day} is still to come", "give the day it was made")
    draft = LogEntry(
        batch="",
        event="made",
        at=bench.at,
        liquid=liquid,
        brix=values.brix(brix, "--brix") if brix else None,
        uncertainty=values.uncertainty(uncertainty, "--uncertainty") if uncertainty else None,
        cause=values.cause(cause) if cause else None,
        mass=values.mass(mass, "--mass") if mass else None,
        made=day,
        discard=clock.day(discard, "--discard", bench.today) if discard else None,
        by=by,
        note=note,
        acid=values.concentration(acid, "--acid") if acid else None,
    )
    entry, *_ = bench.log(
        lambda log: add(log, bench.loaded.specs, draft, is_open=is_open, reserved=lost_ids(bench.folder))
    )
    item = bench.item(bench.batch(entry.batch))
    notes = cautions(item, bench.after)
    bench.done(added_text(item, notes, bench.today), done_data(item, notes, bench.today))


@batch_app.command("open")
@answers
def open_command(
    batch: BatchName,
    replaces: Annotated[
        str | None, typer.Option("--replaces", metavar="BATCH", help="The batch that is empty now.")
    ] = None,
    by: By = None,
    note: Note = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """A batch goes into use."""
    from balancer.cli.bench import Bench
    from balancer.engine.batch.events import open_batch
    from balancer.engine.batch.notes import cautions
    from balancer.output.data.batches import done_data
    from balancer.output.screen.batches import state_text

    bench = Bench(specs, as_json=as_json)
    (entry,) = bench.log(
        lambda log: open_batch(log, bench.loaded.specs, batch, bench.stamp(by, note), replaces=replaces)
    )
    item = bench.item(bench.batch(entry.batch))
    notes = cautions(item, bench.after)
    replaced = [bench.batch(other) for other in entry.refers]
    bench.done(state_text(item, notes, bench.today, replaced), done_data(item, notes, bench.today))


@batch_app.command("empty")
@answers
def empty_command(
    batch: BatchName, by: By = None, note: Note = None, specs: Specs = DEFAULT_SPECS, as_json: AsJson = False
) -> None:
    """A batch is used up."""
    from balancer.engine.batch.events import empty

    _close(empty, batch, by, note, specs, as_json)


@batch_app.command("discard")
@answers
def discard_command(
    batch: BatchName, by: By = None, note: Note = None, specs: Specs = DEFAULT_SPECS, as_json: AsJson = False
) -> None:
    """A batch is taken out of use."""
    from balancer.engine.batch.events import discard

    _close(discard, batch, by, note, specs, as_json)


@batch_app.command("correct")
@answers
def correct_command(
    batch: BatchName,
    brix: BrixOption = None,
    mass: MassOption = None,
    by: By = None,
    note: Note = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """A batch was brought to a strength: standard, or the one given. With --mass alone it was only weighed."""
    from balancer.cli import values
    from balancer.cli.bench import Bench
    from balancer.engine.batch.events import correct
    from balancer.output.screen.batches import strength_text

    bench = Bench(specs, as_json=as_json)
    strength = values.brix(brix, "--brix") if brix else None
    grams = values.mass(mass, "--mass") if mass else None
    (entry,) = bench.log(lambda log: correct(log, bench.bar, batch, bench.stamp(by, note), brix=strength, mass=grams))
    _tell(bench, entry.batch, strength_text, done="weighed" if entry.brix is None else "corrected")


@batch_app.command("reading")
@answers
def reading_command(  # noqa: PLR0917 - one for each option
    batch: BatchName,
    brix: BrixOption = None,
    uncertainty: Uncertainty = None,
    acid: AcidOption = None,
    mass: MassOption = None,
    cause: Cause = None,
    by: By = None,
    note: Note = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """A batch was read: its strength from now on."""
    from balancer.cli import values
    from balancer.cli.bench import Bench
    from balancer.engine.batch.events import reading
    from balancer.errors import UsageError
    from balancer.models.batch import LogEntry
    from balancer.output.screen.batches import strength_text

    if brix is None and acid is None:
        raise UsageError("usage", "there is no reading", "give --brix, or --acid for an ingredient")
    bench = Bench(specs, as_json=as_json)
    measured = LogEntry(
        batch="",
        event="reading",
        at=bench.at,
        brix=values.brix(brix, "--brix") if brix else None,
        uncertainty=values.uncertainty(uncertainty, "--uncertainty") if uncertainty else None,
        cause=values.cause(cause) if cause else None,
        mass=values.mass(mass, "--mass") if mass else None,
        by=by,
        note=note,
        acid=values.concentration(acid, "--acid") if acid else None,
    )
    (entry,) = bench.log(lambda log: reading(log, bench.loaded.specs, batch, measured))
    _tell(bench, entry.batch, strength_text, done="read")


@batch_app.command("combine")
@answers
def combine_command(
    first: BatchName,
    second: BatchName,
    by: By = None,
    note: Note = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """Two batches of one syrup were poured together: a new batch, with the oldest part's dates."""
    from balancer.cli.bench import Bench
    from balancer.engine.batch.events import combined
    from balancer.engine.batch.notes import cautions, combining_cautions
    from balancer.files.log.batch_log import lost_ids
    from balancer.output.data.batches import done_data
    from balancer.output.screen.batches import added_text

    bench = Bench(specs, as_json=as_json)
    entry, *_ = bench.log(
        lambda log: combined(
            log, bench.loaded.specs, first, second, bench.stamp(by, note), reserved=lost_ids(bench.folder)
        )
    )
    item = bench.item(bench.batch(entry.batch))
    parts = [bench.batch(part, bench.before) for part in entry.refers]
    notes = (*combining_cautions(parts), *cautions(item, bench.after))
    bench.done(added_text(item, notes, bench.today), done_data(item, notes, bench.today))


@batch_app.command("undo")
@answers
def undo_command(
    restore: Annotated[bool, typer.Option("--restore", help="Bring back what the last undo took away.")] = False,
    by: By = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """Take back the last thing logged; again, the one before."""
    from balancer.cli.bench import Bench
    from balancer.engine.batch import events as batch_events
    from balancer.output.data.batches import undone_data
    from balancer.output.screen.batches import undone_text

    bench = Bench(specs, as_json=as_json)
    take_back = batch_events.restore if restore else batch_events.undo
    touched: list[Any] = []

    def make(log: Any) -> Any:
        entries, touched[:] = take_back(log, bench.stamp(by))
        return entries

    bench.log(make)
    bench.done(undone_text(touched, restored=restore), undone_data(touched, restored=restore))


@batch_app.command("list")
@answers
def list_command(
    every: Annotated[bool, typer.Option("--all", help="Those used up and taken out too.")] = False,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """The batches in the house, the one to use first before the others. With --json, every batch of the log."""
    from balancer.cli.bench import Bench
    from balancer.engine.batch.notes import closed, in_house
    from balancer.output.data.batches import list_data
    from balancer.output.screen.batches import list_text

    bench = Bench(specs, as_json=as_json)
    bench.read()
    here = [bench.item(batch) for batch in in_house(bench.after)]
    gone = [bench.item(batch) for batch in closed(bench.after)]
    text = list_text([*here, *gone] if every else here, bench.today, others=0 if every else len(gone))
    bench.listed(text, list_data([*here, *gone]))


def _close(act: Callable[..., Any], batch: str, by: str | None, note: str | None, specs: Any, as_json: bool) -> None:
    """The commands after which a batch is out of use."""
    from balancer.cli.bench import Bench
    from balancer.output.data.batches import done_data
    from balancer.output.screen.batches import state_text

    bench = Bench(specs, as_json=as_json)
    (entry,) = bench.log(lambda log: act(log, bench.loaded.specs, batch, bench.stamp(by, note)))
    item = bench.item(bench.batch(entry.batch))
    bench.done(state_text(item, (), bench.today), done_data(item, (), bench.today))


def _tell(bench: Any, identity: str, text: Callable[..., str], *, done: str) -> None:
    """The answer of the commands that change what is known of a batch."""
    from balancer.engine.batch.notes import cautions
    from balancer.output.data.batches import done_data

    item = bench.item(bench.batch(identity))
    notes = tuple(note for note in cautions(item, bench.after) if note.kind == "past")
    bench.done(text(item, notes, bench.today, done=done), done_data(item, notes, bench.today))
