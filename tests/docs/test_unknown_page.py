"""What a page says of keys that are left out is what the files mean."""

from __future__ import annotations

import re
from typing import get_args

from balancer.models.ingredient import Ingredient, IngredientKind
from tests.docs.pages import DOCS

KINDS = get_args(IngredientKind)


def kinds_in(words: str) -> set[str]:
    """The kinds that a line speaks of."""
    return {kind for kind in KINDS if re.search(rf"\b{kind}\b", words)}


def test_what_an_absent_abv_and_acid_mean() -> None:
    text = " ".join((DOCS / "how-to" / "write-a-spec.md").read_text(encoding="utf-8").split())
    abv = re.search(r"No `abv` means none where `kind` is ([^.]+)\.", text)
    acid = re.search(r"No `acid` means unknown for a ([^.]+?), and where neither", text)
    assert abv
    assert acid
    found = {kind: Ingredient.model_validate({"id": "thing", "ingredient": "thing", "kind": kind}) for kind in KINDS}
    assert kinds_in(abv[1]) == {kind for kind, one in found.items() if one.abv is not None}
    assert kinds_in(acid[1]) == {kind for kind, one in found.items() if one.acid is None}
    bare = Ingredient.model_validate({"id": "thing", "ingredient": "thing"})
    assert (bare.abv, bare.acid) == (None, None), "with no kind, neither is known"
