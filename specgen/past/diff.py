"""What changed in results between two editions of an archive, or two methods; not in text."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from specgen.past.chronicle import Cause
from specgen.past.editions import Edition
from specgen.past.figures import Moved, Told, moved
from specgen.past.kept import Kept
from specgen.past.known import Keeping, Known, remembered

#: Builds that are worked out only to be compared with those that changed, so that where nothing is
#: kept, as at a forge, a review waits for few seconds.
_COMPARED = 24
_POWER = "power"


@dataclass(frozen=True, slots=True)
class Changed:
    """A build whose figures moved, by which causes; `unread` says in which edition it has none."""

    build: str
    title: str
    causes: tuple[Cause, ...]
    moved: tuple[Moved, ...]
    unread: str = ""


@dataclass(frozen=True, slots=True)
class Turned:
    """Two builds whose order by power is another one: ahead, behind, or within the margin."""

    first: str
    second: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Difference:
    """All that changed in results; `not_compared` builds were not set beside those that changed."""

    added: tuple[tuple[str, str], ...] = ()
    gone: tuple[tuple[str, str], ...] = ()
    renamed: tuple[tuple[str, str], ...] = ()
    changed: tuple[Changed, ...] = ()
    turned: tuple[Turned, ...] = ()
    words_only: tuple[str, ...] = ()
    not_compared: int = 0

    @property
    def moves(self) -> bool:
        """Whether any result is another one than before."""
        return bool(self.added or self.gone or self.changed or self.turned)


def difference(before: Edition, after: Edition, keeping: Keeping) -> Difference:
    """What changed from one edition to another; only what differs is worked out."""
    new = [it for it in after.builds if it not in before.builds]
    old = [it for it in before.builds if it not in after.builds]
    known_new = after.known(new, keeping)
    renamed = dict(_renamed(before, after, old, known_new))
    pairs = {it: it for it in after.builds if it in before.builds} | renamed
    touched = {now: was for now, was in pairs.items() if before.key(was) != after.key(now)}
    was_known = before.known([*touched.values(), *old], keeping)
    now_known = after.known(touched, keeping)
    changed = []
    for now, was in touched.items():
        causes = _causes(before, after, was, now)
        found = _changed(now, causes, was_known[was], now_known[now])
        if found is not None:
            changed.append(found)
    moving = {it.build for it in changed}
    was_now = {now: was_known[was] for now, was in touched.items()}
    rest = [it for it in pairs if it not in touched]
    others, missing = _others(after, rest, keeping) if moving else ({}, 0)
    turned = _turned(moving, {**others, **was_now}, {**others, **now_known})
    return Difference(
        tuple((it, known_new[it].title or it) for it in new if it not in renamed),
        tuple((it, was_known[it].title or it) for it in old if it not in renamed.values()),
        tuple((was, now) for now, was in renamed.items()),
        tuple(changed),
        tuple(turned),
        tuple(it for it in touched if it not in moving),
        missing,
    )


def difference_of_methods(
    kept: Mapping[str, tuple[Kept, ...]], now: Edition, number: int, keeping: Keeping
) -> Difference:
    """What this program's method gives otherwise than one before it, for files that stayed."""
    was = {
        build: next((it.known for it in found if it.method == number and
                     build in now.builds and it.state == now.key(build)), None)
        for build, found in kept.items()
    }  # fmt: skip
    before = {build: it for build, it in was.items() if it is not None}
    after = now.known(before, keeping)
    found = (_changed(it, ("method",), before[it], after[it]) for it in before)
    changed = tuple(it for it in found if it is not None)
    turned = tuple(_turned({it.build for it in changed}, before, after))
    return Difference(changed=changed, turned=turned,
                      not_compared=len(now.builds) - len(before))  # fmt: skip


def _renamed(
    before: Edition, after: Edition, old: Iterable[str], new: Mapping[str, Known]
) -> Iterator[tuple[str, str]]:
    """Pairs of a new id and the old one that it had: by `formerly`, else by the same files."""
    left = list(old)
    for now, known in new.items():
        same = [it for it in left if it in known.formerly]
        same = same or [it for it in left if before.own(it) == after.own(now)]
        if same:
            left.remove(same[0])
            yield now, same[0]


def _causes(before: Edition, after: Edition, was: str, now: str) -> tuple[Cause, ...]:
    found: list[Cause] = []
    if before.own(was) != after.own(now):
        found.append("data")
    if before.said(was) != after.said(now):
        found.append("shared")
    return tuple(found)


def _changed(build: str, causes: tuple[Cause, ...], was: Known, now: Known) -> Changed | None:
    title = now.title or was.title or build
    if was.figures is None or now.figures is None:
        if was.figures is None and now.figures is None:
            return None
        return Changed(build, title, causes, (), "before" if was.figures is None else "after")
    found = moved(was.figures, now.figures)
    return Changed(build, title, causes, found) if found else None


def _others(after: Edition, builds: list[str], keeping: Keeping) -> tuple[dict[str, Known], int]:
    """What is known of builds that did not change, as far as it costs little."""
    there = {it: known for it in builds
             if (known := remembered(keeping, after.key(it))) is not None}  # fmt: skip
    missing = [it for it in builds if it not in there]
    return there | after.known(missing[:_COMPARED], keeping), len(missing[_COMPARED:])


def _turned(
    moving: set[str], before: Mapping[str, Known], after: Mapping[str, Known]
) -> Iterator[Turned]:
    """Pairs of like builds, one of them moved, whose order by power is another one now."""
    for first in sorted(moving):
        for second in sorted(after):
            if first == second or (second in moving and second < first):
                continue
            was, now = (_order(it.get(first), it.get(second)) for it in (before, after))
            if was and now and was != now:
                yield Turned(first, second, was, now)


def _order(first: Known | None, second: Known | None) -> str:
    """How the first stands to the second by power; nothing where the two are not alike."""
    if first is None or second is None or first.withdrawn or second.withdrawn:
        return ""
    one, other = _power(first), _power(second)
    if one is None or other is None or (first.place, first.state) != (second.place, second.state):
        return ""
    margin = math.hypot(one.expanded or 0.0, other.expanded or 0.0)
    if abs(one.value - other.value) <= margin:
        return "within the margin"
    return "ahead" if one.value > other.value else "behind"


def _power(known: Known) -> Told | None:
    """The headline power, as the sheet leads with it."""
    found = [it for it in known.figures or () if it.quantity == _POWER and not it.of]
    return found[0] if found else None
