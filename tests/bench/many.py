"""An archive of thousands of builds as far as the pages that compare need it: their data files.

Made from the data of real sheets: each build is one of them with a name, figures and dates of its
own, drawn at random from a fixed start, so that compression finds no more repetition than in an
archive that a workshop might have written.
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from specgen.publish.web.handover import script
from specgen.vocabulary import quantity

#: Invented names: who or where, what for, what it sits in.
_FIRST, _MIDDLE, _LAST = (
    words.split()
    for words in (
        "Alder Bittern Cinder Dunlin Ember Fulmar Gannet Heron Ibis Jackdaw Knot Linnet Merlin "
        "Nuthatch Osprey Pipit Quarry Redstart Siskin Teal Umber Vole Wigeon Yarrow Quay Forge",
        "club sprint winter harbour hill test road works second spare narrow short long twin "
        "quiet early late blue green iron village island canal ferry",
        "hydroplane roadster tender sledge pump launch railcar special coupe saloon tractor "
        "winch dragster kart barge lorry racer mule generator buggy",
    )
)


@dataclass(frozen=True, slots=True)
class Many:
    """Data files of a made archive: texts by the address that asks for them."""

    ids: tuple[str, ...]
    titles: tuple[str, ...]
    index: str
    combos: str
    sources: Mapping[str, str]

    def build(self, build_id: str, data: Mapping[str, Any]) -> str:
        """One build's file, its curves and peaks a little above or below those of its source."""
        times = 0.7 + 0.6 * random.Random(build_id).random()
        made = json.loads(json.dumps(data))
        made["title"] = self.titles[self.ids.index(build_id)]
        for pull in made["pulls"]:
            for key in ("power", "torque"):
                if key in pull:
                    pull[key] = [it and float(f"{it * times:.7g}") for it in pull[key]]
        return script(f"build {build_id}", made)


def data_of(text: str) -> dict[str, Any]:
    """What a data file hands over."""
    found = re.fullmatch(r'specgen\.take\("[^"]+",(.*)\);\n', text, re.DOTALL)
    assert found is not None
    data: dict[str, Any] = json.loads(found.group(1))
    return data


def made(index_text: str, combos_text: str, count: int) -> Many:
    """Make so many builds from an archive's own index and combos."""
    random_ = random.Random(20250514)
    index, combos = data_of(index_text), data_of(combos_text)
    own = len(index["id"])
    origins = [random_.randrange(own) for _ in range(count)]
    names = list(titles(random_, count))
    ids = [re.sub(r"[^a-z0-9]+", "-", title.lower()) for title in names]
    sources = {name: index["id"][origin] for name, origin in zip(ids, origins, strict=True)}
    columns = ("engine", "fed", "place")
    index.update({name: [index[name][at] for at in origins] for name in columns})
    index.update(id=ids, title=names)
    index["size"] = [_written("swept_volume", random_.uniform(5e-4, 8e-3), 0.01) for _ in ids]
    tested = [bool(index["power"][at]) for at in origins]
    index["power"] = [_power(random_) if it else "" for it in tested]
    index["date"] = [_date(random_) if it else "" for it in tested]
    rows = _combos(combos, origins, random_)
    return Many(tuple(ids), tuple(names), script("builds", index), script("combos", rows), sources)


def titles(random_: random.Random, count: int) -> Iterator[str]:
    """Names that occur once."""
    seen: set[str] = set()
    while len(seen) < count:
        words = [random_.choice(_FIRST), random_.choice(_MIDDLE), random_.choice(_LAST)]
        title = " ".join(words[: 1 + random_.randrange(3)] if len(seen) % 9 == 0 else words)
        title += random_.choice(("", "", f" {random_.randrange(2, 9)}", f", {_year(random_)}"))
        if title not in seen:
            seen.add(title)
            yield title


def _year(random_: random.Random) -> int:
    return random_.randrange(1996, 2026)


def _date(random_: random.Random) -> str:
    return f"{_year(random_)}-{random_.randrange(1, 13):02}-{random_.randrange(1, 29):02}"


def _power(random_: random.Random) -> str:
    return _written("power", random_.uniform(3e4, 9e5), random_.uniform(0.02, 0.08))


def _written(key: str, value: float, share: float) -> str:
    """A figure as the data files write it, in both unit systems."""
    shown, expanded = quantity(key), value * share
    parts = [
        text
        for system in ("metric", "imperial")
        for text in (shown.number(value, system, expanded), shown.margin(expanded, system))
    ]
    return "|".join(parts)


def _combos(combos: dict[str, Any], origins: list[int], random_: random.Random) -> dict[str, Any]:
    """Each build's combos, with figures of their own."""
    by_build: dict[int, list[int]] = {}
    for at, build in enumerate(combos["build"]):
        by_build.setdefault(build, []).append(at)
    pairs = [(new, at) for new, origin in enumerate(origins) for at in by_build.get(origin, [])]
    kept = {name: it for name, it in combos.items() if name in ("format", "words")}
    columns = {name: it for name, it in combos.items() if name not in kept}
    rows = {name: [column[at] for _, at in pairs] for name, column in columns.items()}
    rows["build"] = [new for new, _ in pairs]
    rows["power"] = [_power(random_) for _ in pairs]
    rows["litres"] = [round(random_.uniform(0.5, 8.0), 3) for _ in pairs]
    specific = (random_.uniform(4e7, 1.5e8) for _ in pairs)
    rows["specific"] = [_written("specific_power", value, 0.04) for value in specific]
    return {**kept, **rows}
