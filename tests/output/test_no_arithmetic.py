"""Screen and JSON work nothing out: what they say is finished in the engine, and printed by `output.words`.

Looked for in the syntax: sums, differences, products, quotients and powers, `sum` and the functions of `math`, and
comparisons with a decimal number, which are tolerances. Putting texts or lists together is no arithmetic, nor is
counting rows and columns: an operand is a count when it is a whole number, a `len` or `width`, a function that
returns an int, a constant or an argument that is one, or a name that was given one of these.

What it cannot see: arithmetic behind a call (`operator.mul`, a helper in `output.words`), a comparison of two values
of which one is a tolerance, a minimum or maximum, and rounding (`round`, `ceil`), which printing needs.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import balancer.output

OUTPUT = Path(balancer.output.__file__).parent
MODULES = {
    f"{path.parent.name}/{path.stem}": path for room in ("screen", "data") for path in (OUTPUT / room).glob("*.py")
}
NOT_YET = {"screen/chart"}
"""It places points on lines of text, which is layout; what it shows is finished in the engine."""

_OPERATORS = (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.FloorDiv, ast.Mod, ast.Pow)
_COUNTS = {"len", "bool", "int"}
_TEXTS = ("str", "list[", "tuple[")
_PRINTING = {"ceil"}


def _annotations() -> dict[str, str]:
    """What every function of the output returns, by its name, as written; empty where two disagree."""
    found: dict[str, str] = {}
    for path in OUTPUT.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef):
                returns = ast.unparse(node.returns) if node.returns else ""
                found[node.name] = returns if found.get(node.name, returns) == returns else ""
    return found


def _whole_constants() -> set[str]:
    """Constants of the output's modules that are whole numbers."""
    return {
        target.id
        for path in OUTPUT.rglob("*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, (ast.Assign, ast.AnnAssign))
        and isinstance(node.value, ast.Constant)
        and type(node.value.value) is int
        for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(target, ast.Name)
    }


RETURNS = _annotations()
WHOLE = _whole_constants()


class Names:
    """What is known of the names in one function, or at the top of a module: which are counts, which are texts."""

    def __init__(self, body: ast.AST) -> None:
        arguments = [node for node in ast.walk(body) if isinstance(node, ast.arg) and node.annotation]
        self.counts = {each.arg for each in arguments if ast.unparse(each.annotation or each) == "int"}
        self.texts = {each.arg for each in arguments if ast.unparse(each.annotation or each).startswith(_TEXTS)}
        before = -1
        while before != len(self.counts) + len(self.texts):
            before = len(self.counts) + len(self.texts)
            for name, value in _given(body):
                if self.is_count(value):
                    self.counts.add(name)
                elif self.is_text(value):
                    self.texts.add(name)

    def is_count(self, node: ast.AST) -> bool:
        """Whether a whole number of rows, columns or things."""
        match node:
            case ast.Constant(value=value):
                return type(value) is int
            case ast.Name(id=name):
                return name in self.counts or name in WHOLE
            case ast.BinOp(op=op, left=left, right=right):
                return not isinstance(op, ast.Div) and self.is_count(left) and self.is_count(right)
            case ast.Call(func=ast.Name(id=name), args=args):
                return name in _COUNTS or RETURNS.get(name) == "int" or self._counts_each(name, args)
            case ast.IfExp(body=body, orelse=orelse):
                return self.is_count(body) and self.is_count(orelse)
        return isinstance(node, ast.GeneratorExp | ast.UnaryOp) and self.is_count(_inner(node))

    def _counts_each(self, name: str, args: list[ast.expr]) -> bool:
        """Whether the most, the least or the sum of counts; of comparisons too, which are counted so."""
        inner = [_inner(arg) for arg in args]
        return name in ("max", "min", "sum") and all(
            isinstance(one, ast.Compare) or self.is_count(one) for one in inner
        )

    def is_text(self, node: ast.AST) -> bool:
        """Whether a text or a list, for which + and * put together."""
        match node:
            case ast.Constant(value=str()) | ast.JoinedStr() | ast.List() | ast.ListComp() | ast.Tuple():
                return True
            case ast.Name(id=name):
                return name in self.texts
            case ast.IfExp(body=left, orelse=right) | ast.BinOp(left=left, right=right):
                return self.is_text(left) or self.is_text(right)
            case ast.Call(func=ast.Name(id=name)):
                return RETURNS.get(name, "").startswith(_TEXTS)
            case ast.Subscript(value=value, slice=ast.Slice()):
                return self.is_text(value)
        return isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "join"

    def is_fault(self, node: ast.AST) -> bool:
        """Whether a place works something out."""
        match node:
            case ast.BinOp(op=op):
                return isinstance(op, _OPERATORS) and not (self.is_text(node) or self.is_count(node))
            case ast.AugAssign(op=op, value=value):
                sound = self.is_text(value) or self.is_count(value) or isinstance(value, ast.GeneratorExp)
                return isinstance(op, _OPERATORS) and not sound
            case ast.Compare(left=left, comparators=others):
                return any(isinstance(each, ast.Constant) and type(each.value) is float for each in (left, *others))
            case ast.Call(func=ast.Name(id="sum")):
                return not self.is_count(node)
            case ast.ImportFrom(module="math", names=names):
                return bool({alias.name for alias in names} - _PRINTING)
        return False


def _inner(node: ast.AST) -> ast.AST:
    """What a generator or a sign is about; anything else itself."""
    return node.elt if isinstance(node, ast.GeneratorExp) else node.operand if isinstance(node, ast.UnaryOp) else node


def _given(body: ast.AST) -> Iterator[tuple[str, ast.expr]]:
    """Names and what they are given, one by one."""
    for node in ast.walk(body):
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.value:
            yield node.target.id, node.value
        elif isinstance(node, ast.Assign):
            for target in node.targets:
                if isinstance(target, ast.Name):
                    yield target.id, node.value
                elif isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                    pairs = zip(target.elts, node.value.elts, strict=True)
                    yield from ((name.id, value) for name, value in pairs if isinstance(name, ast.Name))


def faults(source: str) -> list[str]:
    """Every place in a module that works something out, as it is written."""
    tree = ast.parse(source)
    found: list[ast.AST] = []
    inside: set[ast.AST] = set()
    for function in [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]:
        names, nodes = Names(function), set(ast.walk(function))
        found += [node for node in nodes if names.is_fault(node)]
        inside |= nodes
    names = Names(tree)
    found += [node for node in ast.walk(tree) if node not in inside and names.is_fault(node)]
    outermost = [node for node in found if not any(node in set(ast.walk(other)) - {other} for other in found)]
    return [f"line {getattr(node, 'lineno', 0)}: {ast.unparse(node)}" for node in outermost]


@pytest.mark.parametrize("module", sorted(MODULES))
def test_a_module_works_nothing_out(module: str) -> None:
    found = faults(MODULES[module].read_text(encoding="utf-8"))
    assert bool(found) == (module in NOT_YET), "\n".join(found)


@pytest.mark.parametrize(
    "source",
    [
        "def f(x): return x.new - x.old",
        "def f(x): return 100.0 * x.share",
        "def f(x): return f'{x.mass_g / 1000.0} kg'",
        "def f(x): return x.percent > 0.05",
        "def f(x): return sum(part.mass_g for part in x)",
        "def f(x):\n    total = 0.0\n    total += x.mass_g\n    return total",
        "def f(x): return len(x.rows) / x.up",
        "from math import hypot",
        "SIZE = 25.4 / 72",
    ],
)
def test_it_sees_arithmetic(source: str) -> None:
    assert len(faults(source)) == 1


@pytest.mark.parametrize(
    "source",
    [
        "def f(x): return 'a' + x.name",
        "def f(x): return [x.name] * bool(x.name)",
        "def f(x): return f'{x.brix} °Bx' + (', read' if x.read else '')",
        "def f(x):\n    room = ROWS - len(x)\n    return x[: room - 1]",
        "def f(x):\n    rows = []\n    rows += [row.name for row in x]\n    return rows",
        "from math import ceil",
        "def f(x): return x.count > 3",
    ],
)
def test_it_lets_text_and_counting_be(source: str) -> None:
    assert faults(source) == []
