"""Rules written in Python, for what a YAML pack can't say. Everything that such a rule may use stands here.

An installed distribution names a :class:`PythonPack` under the entry point group ``rxlint.rules``. It is run only where
the command line or the user's own configuration names it, never because of anything in the files under screening. A
Python rule is code: it runs in this process, with no limit of time or memory and no walls around it. What it raises is
told as a failure of the rule; the other rules go on.
"""

from rxlint.extension.api import (
    GROUP,
    Lacking,
    PythonCase,
    PythonFinding,
    PythonPack,
    PythonRule,
    UnknownNameError,
    View,
    amount,
    fires,
    holds,
    silent,
)

__all__ = [
    "GROUP",
    "Lacking",
    "PythonCase",
    "PythonFinding",
    "PythonPack",
    "PythonRule",
    "UnknownNameError",
    "View",
    "amount",
    "fires",
    "holds",
    "silent",
]
