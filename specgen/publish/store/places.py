"""Where a store lies: where somebody says, else in the user's folder for what can be made again."""

from __future__ import annotations

import os
import sys
from pathlib import Path

#: Names the folder, before any setting; "" for the usual one.
VARIABLE = "SPECGEN_CACHE"


def store_folder(told: str = "", beside: Path | None = None) -> Path:
    """The store's folder: the variable's, a setting's relative to `beside`, or the user's own."""
    if named := os.environ.get(VARIABLE, ""):
        return Path(named).expanduser().absolute()
    if told:
        return (beside or Path.cwd()).joinpath(Path(told).expanduser()).absolute()
    return _of_user() / "specgen"


def _of_user() -> Path:
    """The folder that a user's system has for what can be made again."""
    if sys.platform == "win32":
        named = os.environ.get("LOCALAPPDATA", "")
        return Path(named) if named else Path.home() / "AppData" / "Local"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    named = os.environ.get("XDG_CACHE_HOME", "")
    return Path(named) if Path(named).is_absolute() else Path.home() / ".cache"
