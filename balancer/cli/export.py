"""What `export` gathers, writes and says."""

from __future__ import annotations

from pathlib import Path
from typing import NoReturn, cast, get_args

from balancer.cli.bench import Bench
from balancer.engine.batch.notes import closed, in_house
from balancer.engine.drink.totals import Totals, totals
from balancer.errors import BalancerError, Problem, ProblemsError, UsageError
from balancer.files.house.own_chill import own_chills
from balancer.files.save import save
from balancer.files.sheets.table import csv_bytes
from balancer.output.data.export import Row, batches_rows, drinks_rows, export_data, totals_rows
from balancer.output.screen.export import export_text
from balancer.output.words.export import Export, What


def export(text: str, out: Path, specs: Path, *, as_json: bool) -> NoReturn:
    """Write a table. Exit code 1 when drinks that did not load are missing from it, or lines of the log were lost.

    Raises ProblemsError, and leaves the file as it was, when there are drinks and none of them loads.
    """
    what = _what(text)
    bench = Bench(specs, as_json=as_json)
    if what == "batches":
        bench.read()
        items = [bench.item(batch) for batch in (*in_house(bench.after), *closed(bench.after))]
        done = _write(out, batches_rows(items), Export(what, out, {"batches": len(items)}, ()))
        bench.listed(export_text(done), export_data(done))
    lost = bench.loaded.broken_of("drinks")
    drinks = list(bench.loaded.specs.drinks.values())
    if lost and not drinks:
        raise ProblemsError(bench.loaded.problems)
    left_out = [entry.name or entry.id for entry in lost]
    if what == "drinks":
        counts = {"drinks": len(drinks), "pours": sum(len(drink.pours) for drink in drinks)}
        rows = drinks_rows(drinks, bench.loaded.specs, own_chills(specs))
    else:
        results: list[Totals] = []
        for drink in drinks:
            try:
                results.append(totals(bench.bar, drink))
            except BalancerError as error:
                left_out.append(drink.name)
                bench.noticed += [
                    Problem("no-answer", f"{drink.name}: {each.message}", "") for each in error.problems()
                ]
        counts = {"drinks": len(results)}
        rows = totals_rows(results, bench.house)
    done = _write(out, rows, Export(what, out, counts, left_out))
    bench.answer(export_text(done), export_data(done), [], lost)


def _what(text: str) -> What:
    for known in get_args(What):
        if text.strip().casefold() == known:
            return cast(What, known)
    raise UsageError("usage", f'"{text}" cannot be exported', f"choose {', '.join(get_args(What))}")


def _write(out: Path, rows: list[Row], done: Export) -> Export:
    save(out, csv_bytes(rows))
    return done
