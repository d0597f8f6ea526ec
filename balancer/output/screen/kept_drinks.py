"""What `set` says of the drinks of a syrup whose standard changes: how they stay what they are, and that they do."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.service.lines import lines_of
from balancer.engine.swaps.kept_drinks import KeptDrinks
from balancer.models.house import House
from balancer.output.words.advice import unreached_names
from balancer.output.words.edit import FileChange
from balancer.output.words.numbers import brix, count, some, trim
from balancer.output.words.page import page, wrap
from balancer.output.words.tonight import lines_text

_NAMED = 4


def offer_rows(kept: KeptDrinks, house: House) -> list[str]:
    """How the drinks that are written for the old standard would stay what they are; and which do in any case."""
    rows = [f"with a strength of their own, so they stay: {_names(kept, apart=True)}"] * bool(kept.apart)
    if kept.drinks:
        rows.append(f"--keep-drinks keeps them: written for {brix(kept.old_brix)}, {_pours(kept, house)}")
    return rows


def kept_standard_text(
    lead: str, kept: KeptDrinks, changes: Sequence[FileChange], house: House, last: Sequence[str]
) -> str:
    """The answer of `set --keep-drinks`.

    lead     what was done; last: what to do
    changes  of the files of the drinks, and of the syrup's
    """
    new = kept.at_new
    drinks = count(len(kept.drinks), "drinks")
    stay = "stays" if len(kept.drinks) == 1 else "stay"
    first = (
        f"{lead}{new.syrup.name}: standard {brix(new.standard_brix)}, not {trim(kept.old_brix, 2)}; "
        f"{drinks} {stay} what {'it is' if len(kept.drinks) == 1 else 'they are'}"
    )
    meaning = f"written for {brix(kept.old_brix)} from now on: {_names(kept)}"
    rows = [_pours(kept, house)]
    rows += [f"with a strength of their own already: {_names(kept, apart=True)}"] * bool(kept.apart)
    more = [*last, "their printed cards are old now: balancer cards --changed prints them"]
    shown = [line for change in changes for line in change.shown()]
    return "\n".join([*wrap(first, 4), *shown, page(meaning, rows, "; ".join(more))])


def _pours(kept: KeptDrinks, house: House) -> str:
    """What they pour of the syrup at its new standard."""
    lines = lines_of(kept.at_new)
    pours = "; ".join(lines_text(lines, house)) or "as written"
    none = f"; {unreached_names(lines.unreached)}" if lines.unreached else ""
    return f"at {brix(kept.at_new.standard_brix)} they pour {pours}{none}"


def _names(kept: KeptDrinks, *, apart: bool = False) -> str:
    return some([drink.name for drink in (kept.apart if apart else kept.drinks)], _NAMED)
