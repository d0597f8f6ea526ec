"""The positioned tree: what stands where, and the parser that finds it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from balancer.files.yaml import tree
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.files.yaml.tree import read_document
from balancer.files.yaml.validate import plain
from tests.files.folders import codes, load_with


def document_of(text: str) -> Document:
    return read_document("some.yaml", text.encode())


def value_of(text: str, *path: str | int) -> Node:
    """The node at a path of keys and indexes."""
    node = document_of(text).root
    for step in path:
        if isinstance(node, Mapping):
            node = node.get(str(step))
        else:
            assert isinstance(node, Sequence)
            node = node.items[int(step)]
    assert node is not None
    return node


def source_of(text: str, *path: str | int) -> str:
    """The characters of the text that a node stands for."""
    node = value_of(text, *path)
    return text[node.start : node.end]


def test_the_c_parser_runs() -> None:
    parser = vars(tree)["CParser"]
    assert parser.__module__ == "ruamel.yaml.clib._ruamel_yaml"
    assert YAML(typ="safe").Parser is parser


class TestPositions:
    @pytest.mark.parametrize(
        ("text", "path", "source"),
        [
            pytest.param("a: b c   # d\n", ["a"], "b c", id="plain text"),
            pytest.param("'a b': \"c\"\n", ["a b"], '"c"', id="quoted key and value"),
            pytest.param("- a\n- {b: c, d: [e, f]}\n", [1, "d", 1], "f", id="inside brackets"),
            pytest.param("a: {b: c,\n    d:\n      e}\n", ["a", "d"], "e", id="brackets over lines"),
            pytest.param("{\n  'b c': d,\n}\n", ["b c"], "d", id="quoted key in brackets"),
            pytest.param("a: |\n  b\n  c\nd: e\n", ["a"], "|\n  b\n  c\n", id="block text"),
            pytest.param("a: |\n  b\n  c\nd: e\n", ["d"], "e", id="behind block text"),
            pytest.param("a: b\n  c\nd: e\n", ["a"], "b\n  c", id="text over lines"),
            pytest.param("ä: 𝒳½\nb: ü\n", ["b"], "ü", id="characters of many bytes"),
            pytest.param("a: b\r\nc: d\r\n", ["c"], "d", id="Windows line ends"),
            pytest.param("a: b\rc: d\r", ["c"], "d", id="old Mac line ends"),
            pytest.param("? a\n: b\n", ["a"], "b", id="question mark"),
        ],
    )
    def test_a_node_stands_for_its_characters(self, text: str, path: list[str | int], source: str) -> None:
        assert source_of(text, *path) == source

    def test_a_byte_order_mark_does_not_count(self) -> None:
        document = read_document("some.yaml", "\ufeffa: b".encode())
        assert isinstance(document.root, Mapping)
        assert document.root.entries[0][0].start == 0

    def test_an_empty_value_stands_where_its_key_does(self) -> None:
        text = "a: 1\nbb:\n\n# far below\nc: {dd: , e}\n"
        assert source_of(text, "bb") == "bb"
        assert source_of(text, "c", "dd") == "dd"
        assert source_of(text, "c", "e") == "e"

    def test_an_empty_item_stands_where_its_hyphen_does(self) -> None:
        text = "- a\n-   # - b\n- c\n"
        item = value_of(text, 1)
        assert (item.start, text[item.start]) == (4, "-")

    def test_quoted_and_block_text_is_marked(self) -> None:
        texts = value_of("- a\n- 'a'\n- \"a\"\n- |\n  a\n- >\n  a\n")
        assert isinstance(texts, Sequence)
        assert [item.quoted for item in texts.items if isinstance(item, Scalar)] == [False, True, True, True, True]

    @pytest.mark.parametrize(
        "text", ["007", "1984", "1_000", "0x1F", "1e3", "yes", "~", "null", "12:30", "2026-03-14", "1.50"]
    )
    def test_values_stay_as_written(self, text: str) -> None:
        root = document_of(f"a: {text}\n").root
        assert root is not None
        assert plain(root) == {"a": text}

    @pytest.mark.parametrize(
        ("text", "place"),
        [
            pytest.param("drink: A\nmethod: shaken\npours: [30 ml gold rum]\nglas: x\n", (4, 1, "glas"), id="key"),
            pytest.param(
                "drink: A\nmethod: shaken\npours: [\n  30 ml gold rum,\n  {pour: 30 ml,\n   of: gim}\n]\n",
                (6, 8, "gim"),
                id="brackets over lines",
            ),
            pytest.param('"drink": A\n"method": shaken\n"pours": ["30 ml gim"]\n', (3, 18, "gim"), id="quoted pour"),
            pytest.param("drink: A\nmethod: shaken\npours:\n- >-\n  30 ml\n  gim\n", (4, 3, ">-"), id="block text"),
            pytest.param("drink: A\nmethod: shaken\npours:\n- 30 ml\n  gim\n", (5, 3, "gim"), id="text over lines"),
            pytest.param(
                "drink: A\nmethod: shaken\npours:\n- 30 ml gold\n  rumm\n", (4, 3, "30 ml gold"), id="name over lines"
            ),
            pytest.param(
                'drink: A\nmethod: shaken\npours: [30 ml "gold" rumm]\n', (3, 15, '"gold" rumm'), id="quotes in it"
            ),
            pytest.param("drink: Ä½𝒳\nmethod: thrwn\npours: [30 ml gold rum]\n", (2, 9, "thrwn"), id="wide characters"),
            pytest.param("# a\r\ndrink: A\r\nmethod: thrwn\r\npours: [30 ml gold rum]", (3, 9, "thrwn"), id="CRLF"),
        ],
    )
    def test_problems_point_at_the_offending_words(
        self, tmp_path: Path, text: str, place: tuple[int, int, str]
    ) -> None:
        (problem,) = load_with(tmp_path, {"drinks/new.yaml": text}).problems
        line, column, words = place
        assert (problem.line, problem.column) == (line, column)
        assert problem.excerpt is not None
        assert problem.excerpt[column - 1 : column - 1 + problem.width] == words

    def test_a_very_long_line_is_not_repeated(self) -> None:
        document = document_of("a: b\na: " + "x" * 1000)
        (problem,) = document.problems()
        assert (problem.line, problem.column, problem.excerpt) == (2, 1, None)


class TestRefused:
    def test_what_is_cut_is_marked(self) -> None:
        document = document_of("- a: b\n- c: [d\n- e: f\n")
        assert isinstance(document.root, Sequence)
        assert [node.complete for node in document.root.items if isinstance(node, Mapping)] == [True, False]
        assert document.cut is not None
        assert document.cut.code == "bracket"

    def test_the_first_of_two_keys_counts(self) -> None:
        document = document_of("a: 1\nb: 2\na: 3\n")
        assert document.root is not None
        assert plain(document.root) == {"a": "1", "b": "2"}

    def test_a_decimal_comma_is_joined_again(self) -> None:
        document = document_of("[22,5 ml, {a: 1,75 oz, b: 3}, 4, 'x,5', 1,5,6]\n")
        assert document.root is not None
        assert plain(document.root) == ["22,5 ml", {"a": "1,75 oz", "b": "3"}, "4", "x,5", "1,5", "6"]
        assert [problem.code for problem in document.problems()] == ["decimal-comma"] * 3

    @pytest.mark.parametrize(
        "text", ["[1, 2]", "[a,1]", "[1,a]", "['1','2']", "{1: 2,3: 4}", "- 22,5 ml\n", "a: 22,5 ml"]
    )
    def test_other_commas_are_no_decimal_commas(self, text: str) -> None:
        assert document_of(text).problems() == ()


BOMBS: dict[str, Callable[[], str]] = {
    "lists in lists": lambda: "[" * 100_000,
    "closed lists in lists": lambda: "[" * 100_000 + "]" * 100_000,
    "groups in groups": lambda: "{a: " * 100_000,
    "hyphens": lambda: "- " * 100_000,
    "question marks": lambda: "? " * 100_000,
    "keys in keys": lambda: "".join(f"{' ' * depth}a:\n" for depth in range(2000)),
    "more keys than may be": lambda: "".join(f"k{number}: 1\n" for number in range(200_000)),
    "more than 16 MB": lambda: "# " + "x" * (16 * 1024 * 1024),
}


_HEAVY = ("more keys than may be", "more than 16 MB")
_ALL_BOMBS = [
    pytest.param(make, id=name, marks=pytest.mark.slow if name in _HEAVY else ()) for name, make in BOMBS.items()
]


@pytest.mark.parametrize("make", _ALL_BOMBS)
def test_bombs_do_not_go_off(make: Callable[[], str], tmp_path: Path) -> None:
    """Depth and size end the reading of that file early, and only of that file."""
    loaded = load_with(tmp_path, {"drinks/bomb.yaml": make()})
    assert set(codes(loaded)) <= {"too-deep", "too-large", "key"}
    assert len(loaded.problems) in range(1, tree.MAX_DEPTH + 2)
    assert len(loaded.specs.drinks) == 3


LONG: dict[str, Callable[[], str]] = {
    "one long word": lambda: "drink: " + "x" * 200_000,
    "one long line of pours": lambda: "drink: A\nmethod: shaken\npours: [" + "30 ml gim, " * 90 + "30 ml gold rum]",
    "a million blank lines": lambda: "\n" * 1_000_000 + "drink: A",
    "an open quotation mark": lambda: "drink: '" + "a\n" * 500_000,
    "colons": lambda: "a: " * 100_000,
    "anchors": lambda: "- &a x\n" * 20_000,
    "anchors in one line": lambda: "[" + "&a x, " * 20_000 + "]",
    "decimal commas in one line": lambda: "[" + "1,2 x, " * 20_000 + "]",
    "one name many times": lambda: "- drink: A\n" * 5_000,
    "keys of one entry": lambda: "drink: A\n" + "".join(f"k{number}: x\n" for number in range(20_000)),
    "unknown names": lambda: "".join(f"- drink: d{n}\n  method: shaken\n  pours: 1 ml gim{n}\n" for n in range(2_000)),
}


@pytest.mark.slow
@pytest.mark.parametrize("make", LONG.values(), ids=LONG)
def test_long_files_are_read_to_their_end(make: Callable[[], str], tmp_path: Path) -> None:
    loaded = load_with(tmp_path, {"drinks/long.yaml": make()})
    assert loaded.problems
    assert len(loaded.specs.drinks) == 3
