"""What changed in results, in words: for a terminal, for a review comment, and as data."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from specgen.past.chronicle import CAUSES, Cause
from specgen.past.diff import Changed, Difference, Turned
from specgen.past.figures import Moved, as_data
from specgen.vocabulary import System

_UNREAD = {
    "before": "could not be read before, can now",
    "after": "cannot be read any more",
}


def causes_words(causes: tuple[Cause, ...]) -> str:
    """Name the causes of a change."""
    return " and ".join(CAUSES[it] for it in causes)


def moved_words(it: Moved, system: System) -> str:
    """One figure before and after, such as "Power, corrected 343 ± 8 kW → 337 ± 8 kW"."""
    of = f" ({it.told.of})" if it.told.of else ""
    was = it.before.text(system) if it.before else "not there"
    now = it.after.text(system) if it.after else "not there"
    return f"{it.told.title}{of} {was} → {now}"


def as_text(found: Difference, system: System) -> str:
    """The difference for a terminal."""
    lines: list[str] = []
    for title, builds in (("New", found.added), ("Gone", found.gone)):
        lines += [f"{title}: {name} ({words})" for name, words in builds]
    lines += [f"Renamed: {was} is {now} now" for was, now in found.renamed]
    for it in found.changed:
        lines.append(f"{it.title} ({it.build}), by {causes_words(it.causes)}:")
        lines += [f"  {words}" for words in _details(it, system)]
    lines += [f"Turned round: {_turned_words(it)}" for it in found.turned]
    if found.words_only:
        lines.append(f"Other words, same figures: {', '.join(found.words_only)}")
    lines += _notes(found)
    return "\n".join(lines or ["No result is another one."])


def as_markdown(found: Difference, system: System) -> str:
    """The difference as a comment of a review."""
    if not found.moves and not found.renamed:
        return "No result changes."
    lines = ["| Build | Figure | Before | After | By |", "|---|---|---|---|---|"]
    for it in found.changed:
        by, title = causes_words(it.causes), _cell(it.title)
        if it.unread:
            lines.append(f"| {title} | {_UNREAD[it.unread]} | | | {by} |")
        for one in it.moved:
            of = f" ({_cell(one.told.of)})" if one.told.of else ""
            was = one.before.text(system) if one.before else "not there"
            now = one.after.text(system) if one.after else "not there"
            lines.append(f"| {title} | {one.told.title}{of} | {was} | {now} | {by} |")
    lines = lines if found.changed else []
    for title, builds in (("New", found.added), ("Gone", found.gone)):
        lines += [f"- {title}: {_cell(words)} (`{name}`)" for name, words in builds]
    lines += [f"- Renamed: `{was}` is `{now}` now" for was, now in found.renamed]
    lines += [f"- Turned round: {_cell(_turned_words(it))}" for it in found.turned]
    lines += [f"- {words}" for words in _notes(found)]
    return "\n".join(lines)


def as_json(found: Difference) -> str:
    """The difference as data, values in SI."""
    return json.dumps(_data(found), ensure_ascii=False, indent=1, allow_nan=False)


def _data(found: Difference) -> dict[str, Any]:
    return {
        "format": 1,
        "added": [{"id": name, "title": title} for name, title in found.added],
        "gone": [{"id": name, "title": title} for name, title in found.gone],
        "renamed": [{"before": was, "after": now} for was, now in found.renamed],
        "moved": [
            {
                "id": it.build,
                "title": it.title,
                "causes": list(it.causes),
                "unread": it.unread or None,
                "figures": [_moved_data(one) for one in it.moved],
            }
            for it in found.changed
        ],
        "turned": [
            {"first": it.first, "second": it.second, "before": it.before, "after": it.after}
            for it in found.turned
        ],
        "words_only": list(found.words_only),
        "not_compared": found.not_compared,
    }


def _moved_data(it: Moved) -> dict[str, Any]:
    before, after = (next(iter(as_data([one])), None) if one else None
                     for one in (it.before, it.after))  # fmt: skip
    return {"key": it.told.key, "of": it.told.of, "before": before, "after": after}


def _details(it: Changed, system: System) -> Iterator[str]:
    if it.unread:
        yield _UNREAD[it.unread]
    yield from (moved_words(one, system) for one in it.moved)


def _turned_words(it: Turned) -> str:
    return f"{it.first} was {it.before}, is {it.after} now, beside {it.second}"


def _notes(found: Difference) -> Iterator[str]:
    if found.not_compared:
        yield (
            f"{found.not_compared} builds were not set beside those that changed; a site built "
            "before lets them be."
        )


def _cell(text: str) -> str:
    """A text for a table of Markdown, in which nothing of it means anything."""
    return "".join(
        f"\\{it}" if it in r"\`*_{}[]()#+-.!|<>~" else it for it in " ".join(text.split())
    )
