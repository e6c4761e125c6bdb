"""How a run ends when somebody asks it to (SIGTERM, SIGHUP): in order, as after an interrupt from the keyboard.

The default of these signals ends a process where it stands, and a file that is half written stays beside the documents.
Only the command line asks for another end: in a program that uses the library, signals are the program's own.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from types import FrameType
from typing import Final, NoReturn, TypeVar

_T = TypeVar("_T")
_ASKS: Final = ("SIGTERM", "SIGHUP")  # Windows has the first alone, and never tells it


class EndAskedError(KeyboardInterrupt):
    """Somebody asks the run to end. Of the kind of an interrupt, for nothing on the way may take it for a fault."""


def until_asked(act: Callable[[], _T]) -> _T:
    """Do something, and end the process where a signal asks for that meanwhile: everything is left first, as after an
    exception, then the process ends by that same signal. Who started it sees what it would see without this; a shell
    says 128 and the number of the signal.

    A signal that is ignored (`nohup`), or that somebody else listens to, is left alone.
    """
    asked: list[int] = []
    process = os.getpid()

    def ask(number: int, _frame: FrameType | None) -> None:
        if os.getpid() != process:  # a fork that has not yet said what signals are to do to it
            _end_by(number)
        if not asked:  # once: what takes files away must not be stopped in its turn
            asked.append(number)
            raise EndAskedError

    before = _listening(ask)
    try:
        result = act()
    except BaseException:
        if not asked:
            raise
    finally:
        for number in before:
            signal.signal(number, signal.SIG_DFL)
    if asked:  # only now: what the exception held is let go of, and closed
        _end_by(asked[0])
    return result


def _listening(act: Callable[[int, FrameType | None], None]) -> list[int]:
    """The signals that a function listens to from now on: those that would end the process."""
    found: list[int] = []
    for name in _ASKS:
        number = getattr(signal, name, None)
        if number is None or signal.getsignal(number) != signal.SIG_DFL:
            continue
        try:
            signal.signal(number, act)
        except ValueError:  # not in the main thread
            return found
        found.append(number)
    return found


def end_at_once() -> None:
    """Let these signals end the process where it stands, as they do by default: for a command that writes no file and
    may wait in other threads for ever.
    """
    for name in _ASKS:
        number = getattr(signal, name, None)
        if number is not None and callable(signal.getsignal(number)):
            signal.signal(number, signal.SIG_DFL)


def _end_by(number: int) -> NoReturn:
    signal.signal(number, signal.SIG_DFL)
    os.kill(os.getpid(), number)
    sys.exit(128 + number)  # where it is held back
