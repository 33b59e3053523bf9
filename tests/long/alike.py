"""The same sources in other surroundings: the same bytes, but for what git tells."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from specgen.publish.delivery.verifying import Verified, verified
from tests.long.workshop import Workshop, started, workshop

#: What each surrounding changes: variables of the process; None takes one away.
SURROUNDINGS: dict[str, dict[str, str | None]] = {
    "another processor": {
        "OPENBLAS_CORETYPE": "Prescott",
        "NPY_DISABLE_CPU_FEATURES": "X86_V4,AVX512_ICL,AVX512_SPR",
    },
    "an older processor": {
        "OPENBLAS_CORETYPE": "Haswell",
        "NPY_DISABLE_CPU_FEATURES": "X86_V3,X86_V4,AVX512_ICL,AVX512_SPR",
    },
    "the same again": {},
    "another time zone": {"TZ": "Pacific/Apia"},
    "another locale": {"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8"},
    "another order of sets": {"PYTHONHASHSEED": "7"},
    "four threads": {"OPENBLAS_NUM_THREADS": "4", "OMP_NUM_THREADS": "4"},
    "no home": {"HOME": None, "XDG_CACHE_HOME": None},
    "a path with spaces": {},
    "a strict umask": {},
    "without git": {},
    "a flipped byte": {},
}


def prove(count: int, _chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Build in so many surroundings and compare; a flipped byte is found."""
    faults: list[str] = []
    with workshop() as shop:
        _committed(shop.folder / "one")
        shop.build("one")
        for name in list(SURROUNDINGS)[:count]:
            found = _made(shop, name)
            wanted = int(name == "a flipped byte")
            if len(found.differences) != wanted or not found.files:
                faults.append(f"{name}: {found.differences}")
            tell(f"{name}: {found.files} files, {len(found.differences)} differ")
    return faults


def _made(shop: Workshop, name: str) -> Verified:
    """Build the sources again at another place, in one of the surroundings, and compare."""
    with TemporaryDirectory(prefix="specgen alike ") as elsewhere:
        folder = Path(elsewhere, "a b é" if name == "a path with spaces" else "plain")
        left = shutil.ignore_patterns(".git" if name == "without git" else "")
        shutil.copytree(shop.folder / "one", folder / "one", ignore=left)
        before = os.umask(0o077) if name == "a strict umask" else None
        try:
            _build(folder / "one" / "source" / "mkdocs.yml", SURROUNDINGS[name])
        finally:
            if before is not None:
                os.umask(before)
        made = folder / "public" / "site"
        if name == "a flipped byte":
            page = made / "index.html"
            data = bytearray(page.read_bytes())
            data[len(data) // 2] ^= 1
            page.write_bytes(data)
        return verified(shop.site, made)


def _committed(folder: Path) -> None:
    """Have git know the sources, by a commit of nobody's."""
    who = {f"GIT_{who}_{what}": "nobody" for who in ("AUTHOR", "COMMITTER")
           for what in ("NAME", "EMAIL")}  # fmt: skip
    alone = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}
    for words in (["init", "-q"], ["add", "-A"], ["commit", "-q", "-m", "Begin"]):
        subprocess.run(["git", "-C", str(folder), *words], check=True, env=os.environ | who | alone)


def _build(settings: Path, surroundings: dict[str, str | None]) -> None:
    process: subprocess.Popen[str] = started(
        "site", "--config", str(settings), surroundings=surroundings
    )
    output, _ = process.communicate()
    assert process.returncode == 0, output
