"""What a name that the house lacks may mean: by its words and by its kind, the house first and then the pantry.

Soda may be soda water and never vodka; lemon, poured by volume, is lemon juice. Nothing here is taken unasked.
"""

from __future__ import annotations

import difflib
from collections import defaultdict
from collections.abc import Iterable
from typing import Final

from balancer.files.house.pantry import pantry
from balancer.files.sheets.jotted import plain_name
from balancer.models.imported import Suggestion
from balancer.models.names import slug
from balancer.models.specs import Specs

MOST: Final = 6
_UNLIKE: Final = 9
_CLOSE: Final = 0.8
"""How like two words must be: one letter of five may differ."""

_SYRUP: Final = "sugar"
"""A syrup and a sugar are one kind here: both sweeten."""

_KIND_OF_WORD: Final = {
    word: kind
    for kind, words in {
        "spirit": "gin rum vodka whiskey whisky bourbon scotch rye tequila mezcal brandy cognac armagnac calvados "
        "pisco cachaca grappa absinthe pastis spirit aquavit genever eau-de-vie",
        "liqueur": "liqueur creme triple curacao amaretto limoncello maraschino amaro aperitif cacao cassis menthe",
        "wine": "vermouth wine sherry port madeira sake champagne prosecco cava fino oloroso",
        "beer": "beer lager stout ale cider pilsner ipa",
        "bitters": "bitters",
        "juice": "juice lemon lime orange grapefruit pineapple cranberry tomato yuzu pomegranate "
        "ginger apple passion watermelon celery grape",
        "dairy": "milk cream butter yogurt whey buttermilk",
        "egg": "egg eggs yolk aquafaba",
        _SYRUP: "syrup sugar cordial honey nectar grenadine orgeat gomme molasses treacle simple falernum",
        "mixer": "soda tonic water cola lemonade tea coffee espresso",
        "seasoning": "salt saline vinegar sauce pepper nutmeg",
    }.items()
    for word in words.split()
}  # fmt: skip
"""The kind that a word of the trade says; the last such word of a name counts."""

_KIND_OF_PAIR: Final = {
    ("ginger", "beer"): "mixer", ("root", "beer"): "mixer", ("ginger", "ale"): "mixer", ("coconut", "cream"): "mixer",
    ("coconut", "milk"): "mixer", ("almond", "milk"): "mixer", ("oat", "milk"): "mixer", ("soy", "milk"): "mixer",
    ("egg", "liqueur"): "liqueur", ("rose", "water"): "seasoning", ("flower", "water"): "seasoning",
    ("bitter", "lemon"): "mixer", ("coconut", "water"): "juice", ("lime", "soda"): "mixer",
}  # fmt: skip
_ONLY_KINDS: Final = frozenset(
    "juice syrup cordial water liqueur wine bitters sugar cream milk spirit beer soda sauce honey creme".split()  # noqa: SIM905
)
"""Words that say only what kind a thing is: two things that share no other word are not alike."""

_SAME: Final = {"simple": "plain", "sugar": "plain", "gomme": "plain", "gum": "plain"}
_OURS: Final = ("house", "our", "homemade")
_PLAIN: Final = {"plain", "syrup"}
"""What bars call their plain syrup (common practice)."""


class Suggestions:
    """Suggests for the names of one spreadsheet."""

    def __init__(self, specs: Specs) -> None:
        self._known = [*_of_house(specs), *_of_pantry()]
        self._by_word: dict[str | None, list[int]] = defaultdict(list)
        for place, known in enumerate(self._known):
            for word in {word for words in known.names for word in words}:
                for each in {word, _SAME.get(word, word)}:
                    self._by_word[each].append(place)
        self._vocabulary = sorted(word for word in self._by_word if word)

    def of(self, name: str, *, by_volume: bool, by_dash: bool = False) -> tuple[Suggestion, ...]:
        """What a name may mean, likeliest first.

        by_volume, by_dash  how it is poured: lemon by volume is a juice, orange by the dash are bitters
        """
        words = _words(plain_name(name))
        words = tuple(word for word in words if word not in _OURS) or words
        if not words:
            return ()
        kind = _kind(words)
        if by_dash and kind in (None, "juice"):
            kind = "bitters"
        meant = [self._meant(word) for word in words]
        places = {place for word in meant for each in (word, _SAME.get(word)) for place in self._by_word.get(each, ())}
        found: dict[str, tuple[int, int]] = {}
        for place in sorted(places):
            known = self._known[place]
            rank = min(_rank(meant, each, kind, known.kind) for each in known.names)
            if rank < _UNLIKE and not (by_volume and known.kind == "fruit"):
                found.setdefault(known.name, (rank + (0 if known.is_house else 1), place))
        ranked = sorted(found, key=lambda each: found[each])
        return tuple(Suggestion(each, in_house=self._known[found[each][1]].is_house) for each in ranked[:MOST])

    def _meant(self, word: str) -> str:
        """A word itself, or the one it is a slip of."""
        if word in self._by_word or len(word) < 4:
            return word
        return (difflib.get_close_matches(word, self._vocabulary, n=1, cutoff=_CLOSE) or [word])[0]


class _Known:
    """Something that may be meant: its name, each of its names as words, its kind, and whether the house has it."""

    __slots__ = ("is_house", "kind", "name", "names")

    def __init__(self, name: str, names: Iterable[str], kind: str | None, *, is_house: bool) -> None:
        self.name = name
        self.names = [words for each in names if (words := _words(each))]
        self.kind = kind
        self.is_house = is_house


def _of_house(specs: Specs) -> list[_Known]:
    syrups = [_Known(one.name, (one.name, *one.also), _SYRUP, is_house=True) for one in specs.syrups.values()]
    return syrups + [
        _Known(one.name, (one.name, *one.also), one.kind or _kind(_words(one.name)), is_house=True)
        for one in specs.ingredients.values()
    ]


def _of_pantry() -> list[_Known]:
    return [_Known(entry.name, entry.names, entry.kind, is_house=False) for entry in pantry().entries]


def _words(name: str) -> tuple[str, ...]:
    """The words of a name, in the singular."""
    return tuple(_one(word) for word in slug(name).split("-") if word)


def _one(word: str) -> str:
    if word in _KIND_OF_WORD or word in _ONLY_KINDS or len(word) < 4:
        return word
    return f"{word[:-3]}y" if word.endswith("ies") else word.removesuffix("s") if not word.endswith("ss") else word


def _kind(words: tuple[str, ...]) -> str | None:
    """The kind that the words of a name say, or None."""
    for place in range(len(words) - 1, -1, -1):
        pair = _KIND_OF_PAIR.get((words[place - 1], words[place])) if place else None
        if pair or words[place] in _KIND_OF_WORD:
            return pair or _KIND_OF_WORD[words[place]]
    return None


def _rank(name: list[str], known: tuple[str, ...], kind: str | None, known_kind: str | None) -> int:
    """How like two names are, in steps of two: 0 for the same words; across kinds never."""
    if kind is not None and known_kind is not None and kind != known_kind:
        return _UNLIKE
    mine, theirs = set(name), set(known)
    if mine == theirs:
        return 0
    if mine < theirs:
        return 2
    own = theirs - _ONLY_KINDS
    if theirs < mine and own:
        return 4
    if {_SAME.get(word, word) for word in mine} <= _PLAIN == {_SAME.get(word, word) for word in theirs}:
        return 2
    is_sure = kind is not None and known_kind is not None
    return 6 if is_sure and (mine & theirs) - _ONLY_KINDS - _KIND_OF_WORD.keys() else _UNLIKE
