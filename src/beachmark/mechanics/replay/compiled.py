"""Turns a program's text into something that runs: compiled by Numba, kept in a folder if one is given, or plain.

The folder is the caller's choice; it holds one Python file for each kind of train (named by its content) and what
Numba keeps beside it. A file whose text is not the one expected is not used.
"""

import functools
import hashlib
import importlib.util
import sys
from collections.abc import Callable
from typing import Any, cast

import numpy as np

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.source import Program

Advance = Callable[[FloatArray, FloatArray, int, int, float], None]
"""Constants, state (changed in place), first and last step, step."""
AdvanceBlocks = Callable[[FloatArray, FloatArray, FloatArray, int, int, float], None]
"""The same with room to work in after the state."""
_RightHandSide = Callable[[Any, Any, Any], Any]
_FOR_ARRAYS = {"np": np, "lo": np.minimum, "hi": np.maximum, "mag": np.abs, "pick": np.where, "rint": np.rint}
_FOR_NUMBERS = {
    "lo": lambda a, b: a if a < b else b,
    "hi": lambda a, b: a if a > b else b,
    "mag": abs,
    "pick": lambda chosen, a, b: a if chosen else b,
    "rint": round,
}


def can_compile() -> bool:
    """Tell whether Numba is there."""
    return importlib.util.find_spec("numba") is not None


def compiled_kernel(program: Program, cache_folder: str | None) -> AdvanceBlocks:
    """Kernel of a program for blocks of eight draws; the first call for a kind of train compiles it."""
    return _compiled(program.kernel(cached=cache_folder is not None), cache_folder)


def plain_kernel(program: Program) -> Advance:
    """Kernel of a program for rows of draws, by NumPy."""
    return cast(Advance, _plain(program.plain_kernel(), arrays=True)["advance"])


def look(program: Program) -> _RightHandSide:
    """Loads, stored energy and powers from time, state and constants, for rows of draws (see ``source``)."""
    return cast(_RightHandSide, _plain(program.right_hand_side(), arrays=True)["look"])


def slopes(program: Program) -> _RightHandSide:
    """Right-hand side of the differential equations for one draw, in plain Python numbers."""
    return cast(_RightHandSide, _plain(program.right_hand_side(), arrays=False)["slopes"])


def slopes_of_many(program: Program) -> _RightHandSide:
    """The same for rows of states."""
    return cast(_RightHandSide, _plain(program.right_hand_side(), arrays=True)["slopes"])


@functools.lru_cache(maxsize=32)
def _compiled(text: str, folder: str | None) -> AdvanceBlocks:
    """Compile a kernel's text, in the folder if it can be kept there."""
    if folder is not None:
        module = _kept(text, folder)
        if module is not None:
            return cast(AdvanceBlocks, module.advance)
        text = text.replace("cache=True", "cache=False")
    return cast(AdvanceBlocks, _made(text, {})["advance"])


def _kept(text: str, folder: str) -> Any | None:
    """Return the module of a text kept in a folder; None if the folder cannot keep it."""
    name = f"replay_{hashlib.sha256(text.encode()).hexdigest()[:20]}"
    path = f"{folder}/{name}.py"
    try:
        with open(path, "x", encoding="utf-8") as new:  # never over another's file
            new.write(text)
    except FileExistsError:
        pass
    except OSError:
        return None
    try:
        with open(path, encoding="utf-8") as kept:
            if kept.read() != text:
                return None
    except (OSError, UnicodeDecodeError):
        return None
    spec = importlib.util.spec_from_file_location(name, path)
    if spec is None or spec.loader is None:
        return None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module  # Numba looks it up by name when it loads what it kept
    spec.loader.exec_module(module)
    return module


@functools.lru_cache(maxsize=32)
def _plain(text: str, *, arrays: bool) -> dict[str, Any]:
    """Functions of a text for rows of draws, or for one draw in plain numbers."""
    return _made(text, _FOR_ARRAYS if arrays else _FOR_NUMBERS)


def _made(text: str, names: dict[str, Any]) -> dict[str, Any]:
    """Run a text that holds functions and return them."""
    space = dict(names)
    exec(compile(text, "<replay>", "exec"), space)  # our own text: no name or value from outside gets into it
    return space
