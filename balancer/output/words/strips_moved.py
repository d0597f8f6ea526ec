"""Words for what becomes of strips on the rail and of labels, on the screen and on the page alike."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.service.strips_moved import StripsMoved


def strip_rows(moved: StripsMoved, own: str) -> list[tuple[str, str]]:
    """What to do about them, each with a word before it: the bottle's own strip and label first, then the others'.

    own  id of the batch that something was logged of

    >>> strip_rows(StripsMoved(off=("STR-1", "RAS-12")), "STR-1")[1]
    ('other strips', "take RAS-12's off the rail: its pours hung on this bottle")
    """
    rows = []
    if own in moved.closed:
        rows.append(("strip", "take it off the rail"))
    elif own in moved.off:
        rows.append(("strip", "take it off the rail: its pours were for the strength before"))
    elif own in moved.again:
        rows.append(("strip", "take it off the rail and print it again: its pours were for the strength before"))
    if own in moved.labels:
        rows.append(("label", "print it again, if the bottle has one"))
    closed = [each for each in moved.closed if each != own]
    off = [each for each in moved.off if each != own and each not in closed]
    again = [each for each in moved.again if each != own]
    new = [each for each in moved.new if each != own]
    stay = [each for each in moved.stay if each != own]
    said = [f"take {_theirs(closed)} off the rail"] if closed else []
    said += [f"take {_theirs(off)} off the rail: {_hung(off)}"] if off else []
    said += [f"take {_theirs(again)} off the rail and print {_it(again)} again: {_hung(again)}"] if again else []
    said += [f"print {_theirs(new)}: {'they have' if len(new) > 1 else 'it has'} pours now"] if new else []
    said += [f"{_theirs(stay)} {'stay' if len(stay) > 1 else 'stays'}: the same pours"] if stay else []
    rows += [("other strips", text) for text in said]
    others = [each for each in moved.labels if each != own]
    return [*rows, *[("other labels", f"print {_theirs(others)} again, if there is one")] * bool(others)]


def _theirs(ids: Sequence[str]) -> str:
    return " and ".join(f"{each}'s" for each in ids)


def _it(ids: Sequence[str]) -> str:
    return "them" if len(ids) > 1 else "it"


def _hung(ids: Sequence[str]) -> str:
    return f"{'their' if len(ids) > 1 else 'its'} pours hung on this bottle"
