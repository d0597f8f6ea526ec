"""The workbook that we are measured against: its formulas, by hand arithmetic with printed densities."""

from __future__ import annotations

import zipfile
from pathlib import Path
from random import Random
from xml.etree import ElementTree

import pytest

from balancer.engine.drink.bar import Bar
from tests.benchmarks.against import judged, menus, rules, workbook
from tests.benchmarks.open_formula import Worked
from tests.engine import builders

DENSITY_60, DENSITY_70 = 1.2864, 1.3472
"""g/ml [CRC] Concentrative properties of aqueous solutions, sucrose, 20 °C; also 1.0021 at 1 °Bx, 1.0060 at 2."""
LIME_G_PER_ML = 0.0169 * (1.0021 + 0.69 * (1.0060 - 1.0021))


def strong_berry() -> Bar:
    """A syrup made to 60 °Bx and a plain one, in three drinks."""
    return builders.bar(
        builders.RUM,
        builders.LIME,
        builders.syrup("berry syrup", standard="60 °Bx", sugar_share="100 %"),
        builders.syrup("plain syrup", standard="48 °Bx"),
        builders.drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup"),
        builders.drink("Plain", "60 ml gold rum", "20 ml plain syrup"),
        builders.drink("Vial", "60 ml gold rum", {"pour": "20 ml", "of": "berry syrup", "fixed": True}),
        jigger_step="2.5 ml",
        tolerance="5 %",
    )


@pytest.fixture(scope="module")
def worked() -> Worked:
    return Worked(workbook.build(strong_berry(), {"berry-syrup": 70.0}).sheets)


def row_of(worked: Worked, sheet: str, first: str, second: str | None = None) -> int:
    for row in range(2, 20):
        if worked.cell(sheet, f"A{row}") == first and second in (None, worked.cell(sheet, f"B{row}")):
            return row
    raise AssertionError(first)


def test_sugar_in_a_ml(worked: Worked) -> None:
    row = row_of(worked, "Stock", "berry syrup")
    assert worked.cell("Stock", f"G{row}") == pytest.approx(0.6 * DENSITY_60)
    assert worked.cell("Stock", f"H{row}") == pytest.approx(0.7 * DENSITY_70)
    assert worked.cell("Stock", f"G{row_of(worked, 'Stock', 'lime juice')}") == pytest.approx(LIME_G_PER_ML)
    assert worked.cell("Stock", f"G{row_of(worked, 'Stock', 'gold rum')}") == 0.0


def test_between_two_printed_rows() -> None:
    """54 °Bx is half way between the printed 48 and 60."""
    sheets = workbook.build(strong_berry(), {"berry-syrup": 54.0}).sheets
    between = Worked(sheets)
    assert between.cell("Stock", f"F{row_of(between, 'Stock', 'berry syrup')}") == pytest.approx((1.2186 + 1.2864) / 2)
    assert rules.density(54.0) == pytest.approx((1.2186 + 1.2864) / 2)


def test_new_pours(worked: Worked) -> None:
    """22.5 ml of 60 °Bx is 19.3 ml of 70 by the ratio and 18.4 by sugar: another pour of the jigger."""
    row = row_of(worked, "Pours", "Sour", "berry syrup")
    by_sugar = 22.5 * 0.6 * DENSITY_60 / (0.7 * DENSITY_70)
    assert by_sugar == pytest.approx(18.415, abs=0.001)
    assert [worked.cell("Pours", f"{column}{row}") for column in "KLMNO"] == pytest.approx(
        [22.5 * 6 / 7, 20.0, by_sugar, 17.5, 17.5]
    )


def test_a_drink(worked: Worked) -> None:
    row, lime = row_of(worked, "Drinks", "Sour"), 22.5 * LIME_G_PER_ML
    designed = lime + 22.5 * 0.6 * DENSITY_60
    as_written, poured = lime + 22.5 * 0.7 * DENSITY_70, lime + 17.5 * 0.7 * DENSITY_70
    assert [worked.cell("Drinks", f"{column}{row}") for column in "BCF"] == pytest.approx(
        [designed, as_written, poured]
    )
    assert worked.cell("Drinks", f"D{row}") == pytest.approx(100.0 * (as_written / designed - 1.0))
    assert worked.cell("Drinks", f"E{row}") == "new pour"
    assert worked.cell("Drinks", f"G{row}") == pytest.approx(-4.86, abs=0.01)


def test_what_stays(worked: Worked) -> None:
    """A syrup at its standard, and a pour that is never changed."""
    plain, vial = row_of(worked, "Drinks", "Plain"), row_of(worked, "Pours", "Vial", "berry syrup")
    assert worked.cell("Drinks", f"E{plain}") == "as written"
    assert worked.cell("Drinks", f"F{plain}") == pytest.approx(20.0 * 0.48 * 1.2186)
    assert worked.cell("Pours", f"O{vial}") == 20.0


def test_the_whole_demo_is_what_the_comparison_takes_it_for(tmp_path: Path) -> None:
    """Cell by cell, in blocks and by name, the workbook pours what is judged as its pours."""
    bar = Bar(menus.loaded(menus.written(40, tmp_path)))
    strengths = menus.readings(judged.standards_of(bar), menus.MADE_WITH_SD_BRIX, Random(7))  # noqa: S311
    sheet, names = judged.Sheet(bar), {syrup.name: syrup.id for syrup in bar.specs.syrups.values()}
    verdicts = set()
    for in_blocks in (False, True):
        built = workbook.build(bar, strengths, in_blocks=in_blocks)
        worked = Worked(built.sheets)
        for row, line in enumerate(built.lines, start=2):
            if line.what in names:
                poured = sheet.poured(line.drink, strengths)[names[line.what]]
                assert worked.cell("Pours", f"O{row}") == pytest.approx(poured), line
        for row in range(3, 43):
            drink = worked.cell("Drinks", f"A{row}")
            assert worked.cell("Drinks", f"B{row}") == pytest.approx(sheet.designed_g(drink)), drink
            verdicts.add(worked.cell("Drinks", f"E{row}"))
    assert verdicts == {"as written", "new pour"}


def test_rules() -> None:
    assert rules.by_ratio(22.5, 60.0, 70.0) == pytest.approx(19.2857, abs=1e-4)
    assert [rules.on_jigger(exact, 22.5, 2.5) for exact in (19.3, 21.25, 0.4)] == [20.0, 22.5, 2.5]
    assert rules.on_jigger(22.4, 22.5, 5.0) == 22.5


@pytest.mark.parametrize(
    ("as_written", "found"),
    [(5.0, True), (8.0, False), (12.0, True), (-30.0, True)],
    ids=["as it is", "a step is too much", "a step", "many steps"],
)
def test_every_pour_is_tried(as_written: float, found: bool) -> None:
    """A ml is 6 %: a step of 2.5 ml takes 15 % off, so that 8 % too much would be 7 % too little."""
    assert rules.any_within([rules.Free(20.0, 6.0)], as_written, 5.0, 2.5) is found


def test_two_pours_together() -> None:
    """8 % too much: 15 % less of the one and 10 % more of the other is 3 % too much."""
    assert rules.any_within([rules.Free(20.0, 6.0), rules.Free(20.0, 4.0)], 8.0, 5.0, 2.5)


def test_as_a_file(tmp_path: Path) -> None:
    path, built = tmp_path / "book.ods", workbook.build(strong_berry(), {"berry-syrup": 70.0})
    workbook.save(built.sheets, path)
    with zipfile.ZipFile(path) as packed:
        first = packed.infolist()[0]
        assert (first.filename, first.compress_type) == ("mimetype", zipfile.ZIP_STORED)
        tree = ElementTree.fromstring(packed.read("content.xml"))  # noqa: S314 - our own
    table = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
    assert [sheet.get(f"{table}name") for sheet in tree.iter(f"{table}table")] == list(built.sheets)
    typed = [cell for rows in built.sheets.values() for row in rows for cell in row]
    formulas = [cell.get(f"{table}formula") for cell in tree.iter(f"{table}table-cell")]
    assert len(formulas) == len(typed)
    assert [found for found in formulas if found] == [f"of:{cell}" for cell in typed if str(cell).startswith("=")]
