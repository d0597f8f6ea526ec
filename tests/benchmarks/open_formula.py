"""The few formulas of OpenFormula that the workbook uses, worked out cell by cell: a second opinion on them."""

from __future__ import annotations

import ast
import operator
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from tests.benchmarks.against.workbook import Cell

_REFERENCE: Final = re.compile(r"\[(?:\$(?P<sheet>\w+))?\.(?P<first>\$?[A-Z]\$?\d+)(?::\.(?P<last>\$?[A-Z]\$?\d+))?\]")
_OPERATORS: Final[dict[type[ast.AST], Callable[[Any, Any], Any]]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Eq: operator.eq,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
}


def _match(wanted: Any, column: Sequence[Any], how: int) -> int:
    return sum(value <= wanted for value in column) if how == 1 else column.index(wanted) + 1


def _sumif(keys: Sequence[Any], wanted: Any, column: Sequence[Any]) -> Any:
    return sum(value for key, value in zip(keys, column, strict=True) if key == wanted)


_FUNCTIONS: Final[dict[str, Callable[..., Any]]] = {
    "INDEX": lambda column, place: column[place - 1],
    "MATCH": _match,
    "SUMIF": _sumif,
    "SUM": sum,
    "AND": lambda *conditions: all(conditions),
    "MAX": max,
    "ABS": abs,
    "INT": lambda number: number // 1,
}


class Worked:
    """A workbook's cells as values, each worked out when it is asked for."""

    def __init__(self, sheets: Mapping[str, Sequence[Sequence[Cell]]]) -> None:
        self._sheets = sheets
        self._found: dict[tuple[str, str], Any] = {}

    def cell(self, sheet: str, name: str) -> Any:
        """The value of a cell, like "B3"."""
        if (sheet, name) not in self._found:
            typed = self._sheets[sheet][int(name[1:]) - 1][ord(name[0]) - ord("A")]
            is_formula = isinstance(typed, str) and typed.startswith("=")
            self._found[sheet, name] = self._formula(sheet, str(typed)[1:]) if is_formula else typed
        return self._found[sheet, name]

    def column(self, sheet: str, column: str, first: int, last: int) -> list[Any]:
        """The values of a part of a column."""
        return [self.cell(sheet, f"{column}{row}") for row in range(first, last + 1)]

    def _formula(self, sheet: str, text: str) -> Any:
        def named(found: re.Match[str]) -> str:
            cells = [part.replace("$", "") for part in (found["first"], found["last"]) if part]
            return f"REF({', '.join(map(repr, [found['sheet'] or sheet, *cells]))})"

        python = re.sub(r"(?<![<>])=", "==", _REFERENCE.sub(named, text).replace(";", ","))
        return self._value(ast.parse(python, mode="eval").body)

    def _value(self, node: ast.expr) -> Any:
        match node:
            case ast.Constant(value=value):
                return value
            case ast.BinOp(left=left, op=op, right=right) | ast.Compare(left=left, ops=[op], comparators=[right]):
                return _OPERATORS[type(op)](self._value(left), self._value(right))
            case ast.Call(func=ast.Name(id="IF"), args=[condition, then, otherwise]):
                return self._value(then if self._value(condition) else otherwise)
            case ast.Call(func=ast.Name(id="REF"), args=arguments):
                return self._reference(*map(self._value, arguments))
            case ast.Call(func=ast.Name(id=name), args=arguments):
                return _FUNCTIONS[name](*map(self._value, arguments))
        raise AssertionError(ast.dump(node))

    def _reference(self, sheet: str, first: str, last: str = "") -> Any:
        return self.column(sheet, first[0], int(first[1:]), int(last[1:])) if last else self.cell(sheet, first)
