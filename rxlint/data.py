"""Where the grammar and the rule packs are found: the one place that knows.

In an installed wheel they stand inside the package (`rxlint/_data/`); in a checkout, also one installed as editable,
at its top level beside the package. What the files mean is not known here.
"""

from pathlib import Path
from typing import Final, Literal

Kind = Literal["grammar", "rules"]

_PACKAGE: Final = Path(__file__).resolve().parent


class MissingDataError(LookupError):
    """The grammar or the rules are in neither place: the installation is incomplete. The message names both places."""


def data_folder(kind: Kind) -> Path:
    """The folder that holds the `grammar` or the `rules`.

    Raises MissingDataError where neither the package nor a checkout around it has one.
    """
    return find_folder(_PACKAGE, kind)


def read_data(kind: Kind, name: str) -> str:
    """The text (UTF-8) of the file `name` in that folder.

    Raises ValueError where `name` is anything but a plain file name, for a name may come from a pack and must not lead
    out of the folder; MissingDataError where there is no such file; UnicodeDecodeError where it is not UTF-8.
    """
    if name in {"", ".", ".."} or "/" in name or "\\" in name or "\0" in name:
        message = f"not a plain file name: {name!r}"
        raise ValueError(message)
    path = data_folder(kind) / name
    if not path.is_file():
        message = f"rxlint is not completely installed: there is no {kind} file {name!r} (looked for {path})"
        raise MissingDataError(message)
    return path.read_bytes().decode("utf-8")


def find_folder(package: Path, kind: Kind) -> Path:
    """The folder of this kind for a package that stands at `package`.

    A folder beside the package counts only in a checkout, told by its `pyproject.toml`: beside an installed package
    stand other people's packages, and one of them may well be called `rules`. Raises MissingDataError as `data_folder`.
    """
    inside = package / "_data" / kind
    if inside.is_dir():
        return inside
    checkout = package.parent
    beside = checkout / kind
    if beside.is_dir() and (checkout / "pyproject.toml").is_file():
        return beside
    message = f"rxlint is not completely installed: no {kind} folder (looked for {inside} and, in a checkout, {beside})"
    raise MissingDataError(message)
