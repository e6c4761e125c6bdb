"""What a target is: a reader of bytes, the bounds that no input may pass, and where its inputs come from."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Target:
    """A reader under test: the function of a module of this folder that has its name.

    It must answer every bytes without raising. ``seconds`` of processor time and ``megabytes`` of growth are the most
    that one input may take, ``longest`` the most bytes of an input; ``seeds`` gives the corpus. The module is imported
    when it is first called, so that a run of one target loads what that one needs.
    """

    name: str
    module: str
    seconds: float
    megabytes: int
    longest: int
    seeds: Callable[[], tuple[bytes, ...]]

    @cached_property
    def reads(self) -> Callable[[bytes], None]:
        found: Callable[[bytes], None] = getattr(importlib.import_module(f"tests.fuzz.{self.module}"), self.name)
        return found

    @property
    def what(self) -> str:
        """One line that says what it reads."""
        return (self.reads.__doc__ or "").splitlines()[0]
