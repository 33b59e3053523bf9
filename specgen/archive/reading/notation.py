"""Notations of a quantity beyond a number with its unit: a limit, a valve event, any of some kinds.

The schema's annotations `bounds`, `event` and `quantities` ask for them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import inf

from specgen.units import KINDS, UnitError, parse, parse_range, units_of
from specgen.vocabulary import quantity

_SIDES = {"before": "after", "after": "before"}
_EVENT = re.compile(r"(.*?)\s*\b(before|after)\s+(TDC|BDC)", re.IGNORECASE)
_LETTERS = re.compile(r"(.*?)\s*\b([AB])([TB]DC)\b\.?", re.IGNORECASE)

_LEAST = re.compile(r"(?:min(?:imum|\.)?|not less than|>=?|≥)\s*(?=[-+.\d])|at least\s+", re.I)
_MOST = re.compile(r"(?:max(?:imum|\.)?|not more than|up to|<=?|≤)\s*(?=[-+.\d])|at most\s+", re.I)
_DASH = re.compile(r"([\d.]+)\s*([^\d\s.]*)\s*(?:-|–|—|\.\.+)\s*([\d.]+)\s*(\D.*)")
_MARGIN = re.compile(r"([\d.]+)\s*(\D*?)\s*(?:±|\+/-|\+-)\s*([\d.]+)\s*(\D.*)")


def read_event(text: str, wanted: str) -> float:
    """Read a valve event such as "12 deg before TDC" as a crank angle [rad].

    `wanted` is the usual side and dead centre, "before TDC"; on the other side of that dead
    centre the angle is below zero. UnitError for any other dead centre or notation.
    """
    usual, centre = wanted.split()
    expected = f'an angle before or after {centre}, such as "12 deg {wanted}"'
    found = _EVENT.fullmatch(text.strip())
    if found is None:
        raise UnitError(f'"{text}" is no valve event', expected, *_event_meant(text, wanted))
    head, side, named = found.group(1), found.group(2).lower(), found.group(3).upper()
    angle = parse(head, "angle")
    if named != centre:
        message = f'"{text}" counts from {named}, where this event counts from {centre}'
        raise UnitError(message, expected, f"12 deg {wanted}")
    if angle < 0:
        hint = f"{head.lstrip('-−+ ')} {_SIDES[side]} {centre}"
        raise UnitError(f'"{text}" has an angle below zero', expected, hint, meant=True)
    return angle if side == usual else -angle


def _event_meant(text: str, wanted: str) -> tuple[str, bool]:
    """Write an event as it was probably meant: with the side spelled out, or with any at all."""
    letters = _LETTERS.fullmatch(text.strip())
    if letters is not None:
        side = "before" if letters.group(2).upper() == "B" else "after"
        return f"{letters.group(1)} {side} {letters.group(3).upper()}", True
    try:
        parse(text, "angle")
    except UnitError:
        return f"12 deg {wanted}", False
    return f"{text.strip()} {wanted}", True


def read_bounds(text: str, kind: str) -> tuple[float, float]:
    """Read a limit: "0.05 to 0.08 mm", "at least 0.30 mm", "at most 0.10 mm"; SI, open ends inf."""
    refuse_other_limits(text)
    if text.startswith("at least "):
        return parse(text.removeprefix("at least "), kind), inf
    if text.startswith("at most "):
        return -inf, parse(text.removeprefix("at most "), kind)
    if " to " in text:
        return parse_range(text, kind)
    parse(text, kind)
    hint = f"at most {text}, at least {text}, or both ends"
    raise UnitError(f'"{text}" is one value, no limit', _LIMIT, hint, meant=True)


_LIMIT = 'both ends, such as "0.05 to 0.08 mm", or "at least ..." or "at most ..."'


def refuse_other_limits(text: str) -> None:
    """Refuse a limit written with signs, a dash or a margin; UnitError says how it is written."""
    meant = _bounds_meant(text)
    if meant is not None:
        raise UnitError(f'"{text}" is no limit as it is written here', _LIMIT, meant, meant=True)


def _bounds_meant(text: str) -> str | None:
    """Write a limit as it was probably meant: words for signs, "to" for a dash, ends for ±."""
    written = text.strip()
    if re.match(r"at (least|most) |[-+−.\d].* to ", written):
        return None
    for pattern, words in ((_LEAST, "at least"), (_MOST, "at most")):
        if found := pattern.match(written):
            return f"{words} {written[found.end() :]}"
    if found := _DASH.fullmatch(written):
        return f"{found.group(1)} to {found.group(3)} {found.group(4).strip()}"
    if found := _MARGIN.fullmatch(written):
        middle, margin = float(found.group(1)), float(found.group(3))
        decimals = max(len(part.partition(".")[2]) for part in found.group(1, 3))
        low, high = (f"{end:.{decimals}f}" for end in (middle - margin, middle + margin))
        return f"{low} to {high} {found.group(4).strip()}"
    return None


def bare(text: str) -> str:
    """Take off the words of a limit, so that a number with its unit is left."""
    for words in ("at least ", "at most "):
        text = text.removeprefix(words)
    return text.rpartition(" to ")[2]


def chosen(text: str, keys: Iterable[str]) -> str:
    """Tell which of some quantities a text is, by its unit; UnitError where it is none of them."""
    known = list(keys)
    first: UnitError | None = None
    for key in known:
        try:
            parse(bare(text), quantity(key).kind)
        except UnitError as error:
            first = first or error
        else:
            return key
    assert first is not None
    if not first.unit_only and re.search(r"\d", text):
        return known[0]  # the number itself is at fault, and is told as of any kind
    if not first.unit_only:
        raise UnitError(str(first), _units(known), first.hint)
    raise UnitError(str(_unknown(bare(text), first)), _units(known), first.hint, unit_only=True)


def _unknown(text: str, first: UnitError) -> str:
    """Say what is wrong with a unit that is of none of the kinds."""
    symbol = re.sub(r"^[-+−\d.eE]+\s*", "", text.strip())
    elsewhere = [kind for kind in KINDS if any(symbol == unit.symbol for unit in units_of(kind))]
    if symbol and elsewhere:
        return f'"{symbol}" is a unit of {elsewhere[0]}, which is not measured here'
    return f'unknown unit "{symbol}"' if symbol else str(first)


def _units(keys: Iterable[str]) -> str:
    """Name one unit of each kind."""
    kinds = [quantity(key) for key in keys]
    names = [f"{item.metric.symbol} or {item.imperial.symbol}" for item in kinds]
    names = [name.partition(" or ")[0] if len(set(name.split(" or "))) == 1 else name
             for name in names]  # fmt: skip
    return "a number and one of: " + ", ".join(names)
