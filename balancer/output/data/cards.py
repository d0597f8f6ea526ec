"""`cards` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.output.paper.cards import CardRun
from balancer.output.words.edit import FileChange


def cards_data(run: CardRun) -> dict[str, Any]:
    """The JSON object of `cards`."""
    return {
        "files": [str(path) for path in run.written],
        "size": run.size.name,
        "paper": run.paper,
        "per_page": run.layout.up,
        "pages": run.pages,
        "cards": [
            {
                "drink": card.drink.id,
                "name": card.drink.name,
                "mark": run.marks[card.drink.id],
                "sides": sides,
                "units": run.way(card).units,
                "extras": run.way(card).extras,
                "allergens": list(card.allergens),
                "allergens_unknown": list(card.unknown),
                "cautions": [{"ingredient": caution.name, "text": caution.text} for caution in card.cautions],
            }
            for card, sides in zip(run.cards, run.sides_of_each, strict=True)
        ],
        "changed": list(run.found.changed),
        "new": list(run.found.new),
        "pull": [
            {
                "drink": card.drink,
                "name": card.name,
                "version": card.version,
                "printed": card.date,
                "mark": card.mark,
                "new_mark": run.new_mark(card),
            }
            for card in run.found.pull
        ],
        "same_version": list(run.found.same_version),
        "by_house": list(run.found.by_house),
        "left_out": run.left_out,
        "remembered": None if run.kept is None else _remembered(run.kept),
        "noted": bool(run.cards) and not run.draft,
    }


def _remembered(change: FileChange) -> dict[str, Any]:
    diff = "\n".join(change.diff())
    return {"path": change.path, "line": change.line, "diff": diff, "other_names": change.names}
