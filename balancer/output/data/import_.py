"""`import` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.models.imported import Imported
from balancer.output.words.problems import problems_data


def import_data(result: Imported) -> dict[str, Any]:
    """The JSON object of `import`."""
    return {
        "path": result.path,
        "written": result.is_written,
        "encoding": result.encoding,
        "encoding_is_sure": result.encoding_is_sure,
        "delimiter": result.delimiter,
        "heading_row": result.heading_row,
        "layout": result.layout,
        "map": result.map,
        "drinks": [
            {
                "drink": one.id,
                "name": one.name,
                "rows": list(one.rows),
                "state": one.state,
                "file": one.file,
                "method": one.method,
                "pours": list(one.pours),
                "not_poured": list(one.left_out),
                "dilution_known": one.has_dilution,
            }
            for one in result.drinks
        ],
        "ingredients": [
            {
                "ingredient": one.id,
                "name": one.name,
                "rows": list(one.rows),
                "did_you_mean": one.near,
                "file": one.file,
                "pantry": one.pantry.name if one.pantry else None,
                "may_be": [{"name": each.name, "from": "house" if each.in_house else "pantry"} for each in one.may_be],
            }
            for one in result.ingredients
        ],
        "from_pantry": [one.name for one in result.pantry],
        "lacking": [{"name": one.name, "what": list(one.what)} for one in result.lacking],
        "glasses": [{"name": one.name, "rows": list(one.rows), "did_you_mean": one.near} for one in result.glasses],
        "columns_not_read": [{"column": column.letter, "heading": column.heading} for column in result.unread],
        "rows_not_read": [{"row": skipped.row, "why": skipped.why} for skipped in result.skipped],
        "files": list(result.files),
        **problems_data(result.problems),
    }
