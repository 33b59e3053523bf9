"""The states that a build went through: which files it had at each commit that changed one of them.

A build is followed through its renames, by git's word and by `formerly`. What it shares with
others, the settings and its blower, is kept apart from its own files, so that a change can be told
from another's.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from specgen.archive.past.commits import Commit
from specgen.past.rests_on import BUILD, SETTINGS, is_map, is_read, shared_of


@dataclass(frozen=True, slots=True)
class State:
    """A build after a commit: ids of its own files by path below its folder, and of shared ones.

    `name` is the folder it lay in then; `beside` are files that no figure rests on, without which
    its own could not be read; `settings` names what figures rest on in the settings, "" for all.
    """

    commit: Commit
    name: str
    own: Mapping[str, str]
    shared: Mapping[str, str]
    beside: Mapping[str, str] = field(default_factory=dict)
    settings: str = ""

    @property
    def said(self) -> Mapping[str, str]:
        """The shared files by what figures rest on in them."""
        return said_of(self.shared, self.settings)

    @property
    def key(self) -> str:
        """A name for all that its figures rest on, wherever the folder lay."""
        return key_of(self.own, self.said)


def said_of(shared: Mapping[str, str], settings: str) -> Mapping[str, str]:
    """Shared files by what figures rest on in them: of the settings not every word."""
    return {**shared, SETTINGS: settings} if settings and SETTINGS in shared else shared


def key_of(own: Mapping[str, str], shared: Mapping[str, str]) -> str:
    """A name for the bytes of a build's own and shared files."""
    lines = [f"{kind}\0{path}\0{blob}\n" for kind, files in (("own", own), ("shared", shared))
             for path, blob in sorted(files.items())]  # fmt: skip
    return hashlib.sha256("".join(lines).encode("utf-8")).hexdigest()


@dataclass(slots=True)
class _Followed:
    """What is known of one build while commits are walked, and the states found so far."""

    names: frozenset[str]
    name: str = ""
    states: list[State] = field(default_factory=list)


#: Gives the id of the blower that a build names, by the id of its file's bytes.
BlowerOf = Callable[[str], str | None]
#: Gives the name of what figures rest on in the settings, by the id of their bytes.
SettingsOf = Callable[[str], str]


def states(
    log: Sequence[Commit],
    builds: Mapping[str, Iterable[str]],
    blower_of: BlowerOf,
    settings_of: SettingsOf,
) -> dict[str, tuple[State, ...]]:
    """The states of each build, oldest first.

    `builds` has the former ids of each present id.
    """
    renames = _renames(log)
    followed = {
        build_id: _Followed(_names(renames, {build_id, *former}))
        for build_id, former in builds.items()
    }
    by_name: dict[str, list[_Followed]] = {}
    for it in followed.values():
        for name in it.names:
            by_name.setdefault(name, []).append(it)
    tree = _Tree(blower_of, settings_of)
    for commit in log:
        touched = tree.apply(commit)
        shared = any(name not in by_name for name in touched)  # else builds' own files alone
        near = [it for name in touched for it in by_name.get(name, ())]
        for it in followed.values() if shared else near:
            _step(it, commit, tree, touched)
    return {build_id: tuple(it.states) for build_id, it in followed.items()}


def _renames(log: Sequence[Commit]) -> list[tuple[str, str]]:
    """Each folder that a build was moved to and the one it came from, the newest first."""
    found = []
    for commit in reversed(log):
        for change in commit.changes:
            if change.before != change.path:
                now, _, file = change.path.partition("/")
                before, _, old = change.before.partition("/")
                if file == old == BUILD:
                    found.append((now, before))
    return found


def _names(renames: Iterable[tuple[str, str]], known: set[str]) -> frozenset[str]:
    """All folders that a build lay in, by the renames of its file."""
    for now, before in renames:
        if now in known:
            known.add(before)
    return frozenset(known)


def _step(it: _Followed, commit: Commit, tree: _Tree, touched: frozenset[str]) -> None:
    """Add a state where a commit gave a build other files."""
    names = [name for name in it.names if tree.has(name)]
    if not names:
        it.name = ""
        return
    if it.name not in names:
        it.name = min(names)
    shared = tree.shared(it.name)
    if not touched & {it.name, *shared}:
        return
    own, beside = tree.own(it.name)
    state = State(commit, it.name, own, shared, beside, tree.settings())
    if not it.states or it.states[-1].key != state.key:
        it.states.append(state)


class _Tree:
    """The archive's files while commits are walked."""

    def __init__(self, blower_of: BlowerOf, settings_of: SettingsOf) -> None:
        self._blower_of, self._settings_of = blower_of, settings_of
        self._builds: dict[str, dict[str, str]] = {}
        self._others: dict[str, str] = {}
        self._maps: dict[str, None] = {}

    def apply(self, commit: Commit) -> frozenset[str]:
        """Change the files as a commit did; give the folders and shared files it touched."""
        touched = set()
        for change in commit.changes:
            if change.before != change.path:
                touched.add(self._set(change.before, None))
            touched.add(self._set(change.path, change.blob))
        return frozenset(touched)

    def _set(self, path: str, blob: str | None) -> str:
        room, _, rest = path.partition("/")
        if not rest or room == "blowers":
            place, files, key = path, self._others, path
            if is_map(path):
                self._maps[path] = None
        else:
            place, files, key = room, self._builds.setdefault(room, {}), rest
        if blob is None:
            files.pop(key, None)
        else:
            files[key] = blob
        return place

    def has(self, name: str) -> bool:
        """Whether a build lies in a folder of that name."""
        return BUILD in self._builds.get(name, ())

    def own(self, name: str) -> tuple[dict[str, str], dict[str, str]]:
        """The ids of a build's own files: those that figures rest on, and the others."""
        files = self._builds[name].items()
        return (
            {path: blob for path, blob in files if is_read(path)},
            {path: blob for path, blob in files if not is_read(path)},
        )

    def shared(self, name: str) -> dict[str, str]:
        """The ids of the shared files that a build rests on."""
        return shared_of(self._others, self._maps, self._blower_of(self._builds[name][BUILD]))

    def settings(self) -> str:
        """The name of what figures rest on in the settings; nothing where there are none."""
        blob = self._others.get(SETTINGS)
        return self._settings_of(blob) if blob else ""
