"""Finds every public function of the physics, for the tests that go through all of them."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable
from typing import Any

import specgen.physics


def module_names() -> list[str]:
    """Names of the public rooms of the physics."""
    found = pkgutil.iter_modules(specgen.physics.__path__)
    return sorted(module.name for module in found if not module.name.startswith("_"))


def public_functions() -> dict[str, Callable[..., Any]]:
    """Every public function under "room.name", only in the room that holds it."""
    functions: dict[str, Callable[..., Any]] = {}
    for room in module_names():
        module = importlib.import_module(f"specgen.physics.{room}")
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if not name.startswith("_") and function.__module__ == module.__name__:
                functions[f"{room}.{name}"] = function
    return functions


def find(name: str) -> Callable[..., Any]:
    """Find a function by "room.name", whether it lives there or can only be had from there."""
    room, _, function = name.partition(".")
    found: Callable[..., Any] = getattr(
        importlib.import_module(f"specgen.physics.{room}"), function
    )
    return found
