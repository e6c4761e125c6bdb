"""The wheels that a browser gets, made again from what is installed: rxlint's own and those that it needs there.

They hold what Python reads and no more: no compiled parts, for those are of this machine, and no programs.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path, PurePosixPath
from typing import Final, NamedTuple

import rxlint
from rxlint.data import Kind, data_folder
from rxlint.page.archives import zipped
from rxlint.page.problems import Unbuildable

# What rxlint[sheet] needs, less what a browser does not: pint makes the table of units when rxlint is developed and is
# never imported while screening; ruamel.yaml.clib is compiled, and what it reads is read without it too.
NAMES: Final = ("click", "jinja2", "lark", "markupsafe", "platformdirs", "ruamel.yaml")
_COMPILED: Final = {".so", ".pyd", ".dylib", ".dll", ".c", ".pyx", ".pyc", ".pyo"}
# What an installer wrote: where from and on whose wish. RECORD and WHEEL are made anew.
_OF_INSTALLER: Final = {"INSTALLER", "REQUESTED", "RECORD", "RECORD.jws", "RECORD.p7s", "WHEEL", "direct_url.json"}
_PURE: Final = b"Wheel-Version: 1.0\nGenerator: rxlint page\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
_DATA: Final[tuple[Kind, ...]] = ("grammar", "rules")
_WEB: Final = ("page", "web")  # the page's own sources: its files stand beside the wheels already


class Wheel(NamedTuple):
    """A wheel's file name and bytes."""

    name: str
    data: bytes


def wheels() -> Iterator[Wheel]:
    """Every wheel of the folder, in the order of names. Raises Unbuildable."""
    for name in sorted((*NAMES, "rxlint")):
        try:
            found = metadata.distribution(name)
        except metadata.PackageNotFoundError:
            raise Unbuildable(f"{name} is not installed, and the page needs it: pip install 'rxlint[sheet]'") from None
        yield _wheel(found, _own_files() if name == "rxlint" else _files(found))


def _wheel(found: metadata.Distribution, files: dict[str, bytes]) -> Wheel:
    name = re.sub(r"[-_.]+", "_", found.metadata["Name"]).lower()
    info = f"{name}-{found.version}.dist-info"
    files |= {f"{info}/{path}": data for path, data in _told(found).items()}
    files[f"{info}/WHEEL"] = _PURE
    files[f"{info}/RECORD"] = _record(files, f"{info}/RECORD")
    return Wheel(f"{name}-{found.version}-py3-none-any.whl", zipped(files))


def _record(files: dict[str, bytes], own: str) -> bytes:
    rows = [f"{_quoted(path)},sha256={_digest(data)},{len(data)}" for path, data in sorted(files.items())]
    return "".join(f"{row}\n" for row in [*rows, f"{own},,"]).encode()


def _digest(data: bytes) -> str:
    return base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()


def _quoted(path: str) -> str:
    return '"' + path.replace('"', '""') + '"' if set(path) & set(',"') else path


def _installed(found: metadata.Distribution) -> Iterator[tuple[PurePosixPath, bytes]]:
    """The files of a distribution, as it was installed, by their paths in its wheel."""
    if found.files is None:
        raise Unbuildable(
            f"{found.metadata['Name']} was installed in a way that does not say which files are its own; "
            "install rxlint with pip, in an environment of its own (python3 -m venv)"
        )
    for path in found.files:
        shown = PurePosixPath(path.as_posix())
        if shown.is_absolute() or ".." in shown.parts or _is_left_out(shown):
            continue
        try:
            yield shown, Path(str(found.locate_file(path))).read_bytes()
        except OSError as error:
            raise Unbuildable(f"{found.metadata['Name']} is not completely installed: {error}") from None


def _is_left_out(path: PurePosixPath) -> bool:
    return "__pycache__" in path.parts or path.suffix in _COMPILED


def _is_info(path: PurePosixPath) -> bool:
    return path.parts[0].endswith(".dist-info")


def _files(found: metadata.Distribution) -> dict[str, bytes]:
    return {str(path): data for path, data in _installed(found) if not _is_info(path)}


def _told(found: metadata.Distribution) -> dict[str, bytes]:
    """What a distribution says of itself: metadata, licences, entry points."""
    return {
        str(PurePosixPath(*path.parts[1:])): data
        for path, data in _installed(found)
        if _is_info(path) and path.name not in _OF_INSTALLER
    }


def _own_files() -> dict[str, bytes]:
    """rxlint's own files, from where it runs: a checkout that is installed as editable lists none of them."""
    package = Path(rxlint.__file__).parent
    files = {f"rxlint/{path}": data for path, data in _below(package) if path.parts[:2] != _WEB}
    for kind in _DATA:  # in a wheel they stand there already
        files |= {f"rxlint/_data/{kind}/{path}": data for path, data in _below(data_folder(kind))}
    return files


def _below(folder: Path) -> Iterator[tuple[PurePosixPath, bytes]]:
    for path in sorted(folder.rglob("*")):
        shown = PurePosixPath(path.relative_to(folder).as_posix())
        if path.is_file() and not _is_left_out(shown) and not any(part.startswith(".") for part in shown.parts):
            yield shown, path.read_bytes()
