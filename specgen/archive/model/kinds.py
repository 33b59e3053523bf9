"""The kinds of blower: the one table of what each is called and how it moves air."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BlowerKind:
    """One kind: its word in the files, its words in a sentence and on its own page.

    `displaces` says that each revolution takes a fixed volume; a wheel gives pressure by its speed.
    """

    key: str
    words: str
    title: str
    displaces: bool


KINDS: dict[str, BlowerKind] = {
    kind.key: kind
    for kind in (
        BlowerKind("lobe", "lobe blower", "Lobe blower, no compression inside", displaces=True),
        BlowerKind("vane", "vane blower", "Vane blower", displaces=True),
        BlowerKind("screw", "screw blower", "Screw blower", displaces=True),
        BlowerKind("centrifugal", "centrifugal blower", "Centrifugal blower", displaces=False),
    )
}
