"""Errors of other people's code as text, whatever they are."""

from __future__ import annotations

from typing import Final

_LONGEST: Final = 500


def describe(error: BaseException) -> str:
    """What was raised, in one line of bounded length; an error that can't say what it is is told by its kind."""
    try:
        told = " ".join(str(error).split())
    except Exception:
        told = "it can't be told"
    text = f"{type(error).__name__}: {told}" if told else type(error).__name__
    return text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."
