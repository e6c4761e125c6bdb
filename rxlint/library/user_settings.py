"""The user's own configuration: which Python rules are run. It stands in the user's folder, never beside documents."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rxlint.expressions.problems import near
from rxlint.extension.discover import Named
from rxlint.packs.pack import PackProblem
from rxlint.packs.reading import Reader
from rxlint.packs.yaml_tree import MAX_BYTES, Mapping_, Refused, Scalar, Tree, read_tree, too_large
from rxlint.text.files import read_up_to

NAME: Final = "config.yaml"
_KEYS: Final = ("python rules",)


def read_user_settings(path: Path) -> tuple[tuple[Named, ...], tuple[PackProblem, ...]]:
    """The Python rules that the file at a path names, and its faults. A file that is not there names none.

    A path that is not absolute is not read: it would lie in the current folder, beside what is screened.
    """
    shown = path.as_posix()
    if not path.is_absolute():
        return (), ()
    try:
        read = read_up_to(path, MAX_BYTES)
        text = read[0].decode("utf-8") if read is not None else ""
    except (FileNotFoundError, NotADirectoryError):
        return (), ()
    except (OSError, ValueError) as error:
        why = f"can't be opened: {error.strerror}" if isinstance(error, OSError) else "is not UTF-8 text"
        return (), (PackProblem(shown, 1, 1, why),)
    if read is None:
        return (), (PackProblem(shown, 1, 1, "is not a regular file"),)
    if read[1] > MAX_BYTES:
        return (), (too_large(shown),)
    try:
        tree = read_tree(text, shown)
    except Refused as error:
        return (), (error.problem,)
    reader = Reader(shown)
    named = tuple(_names(reader, tree))
    return ((), reader.told()) if reader.problems else (named, ())


def _names(reader: Reader, tree: Tree) -> Iterator[Named]:
    if not isinstance(tree, Mapping_):
        reader.fault(tree.spot, f"{NAME} is a mapping with the keys {', '.join(_KEYS)}")
        return
    for key, _ in tree.items:
        if key.text not in _KEYS:
            reader.fault(key.spot, f"{key.text} is no key of {NAME}", near(key.text, _KEYS))
    seen: set[str] = set()
    for each in reader.sequence(tree.get("python rules"), None):
        if not isinstance(each, Scalar) or not each.text.strip():
            reader.fault(each.spot, "python rules is a list of names of installed rules")
            continue
        name = each.text.strip()
        if name in seen:
            reader.fault(each.spot, f"python rules: {name} stands twice")
        seen.add(name)
        yield Named(name, reader.path, each.spot.line, each.spot.column)
