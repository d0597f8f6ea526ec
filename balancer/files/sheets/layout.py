"""How a spreadsheet lays out its drinks: below headings, or in blocks without any."""

from __future__ import annotations

from collections.abc import Callable

from balancer.errors import Problem
from balancer.files.sheets.blocks import in_blocks
from balancer.files.sheets.headings import IN_BLOCKS, Places, essential_problems, find_places
from balancer.files.sheets.map_file import MapFile
from balancer.files.sheets.spreadsheet import Sheet


def find_layout(sheet: Sheet, given: MapFile, is_liquid: Callable[[str], bool]) -> tuple[Places | None, list[Problem]]:
    """Where everything stands, as `find_places`; blocks are looked for where no headings say it, nor the map.

    is_liquid  whether something that can be poured has this name
    """
    places, problems = find_places(sheet, given, is_liquid)
    the_map = given.found
    is_said = the_map.columns or the_map.heading_row or the_map.ingredient_columns or the_map.layout
    if places is None or is_said or not (problems or essential_problems(sheet, places)):
        return places, problems
    return (IN_BLOCKS, []) if in_blocks(sheet) else (places, problems)
