"""The ventilator profiles of a run: those of the command line, and those that a folder's settings name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from rxlint.packs.pack import PackProblem
from rxlint.packs.profile import Profile, same_name
from rxlint.packs.profile_load import load_profile

ENDING = ".yaml"


def read_profiles(
    named: Sequence[tuple[Path, str]], root: Path | None = None
) -> tuple[tuple[Profile, ...], tuple[PackProblem, ...]]:
    """The profiles of some files and folders, each with the name to show, and what is wrong with them.

    Of a folder, every ``.yaml`` file in it is one, none deeper; with a ``root``, no link may lead out of it. Two
    profiles with one name are a fault of the second.
    """
    found: list[Profile] = []
    problems: list[PackProblem] = []
    for path, shown in named:
        for file, name in _files(path, shown):
            if root is not None and not _is_inside(file, root):
                problems.append(PackProblem(name, 1, 1, "is a link that leads out of the folder of the settings"))
                continue
            profile, faults = load_profile(file, name)
            problems += faults
            if profile is not None:
                other = next((each for each in found if same_name(each.name, profile.name)), None)
                if other is not None:
                    problems.append(
                        PackProblem(name, 1, 1, f"the ventilator {profile.name} has a profile in {other.path}")
                    )
                found.append(profile)
    return tuple(found), tuple(problems)


def _files(path: Path, shown: str) -> Iterator[tuple[Path, str]]:
    """The files of a folder in the order of their names; of a file, itself."""
    if not path.is_dir():
        yield path, shown
        return
    for each in sorted(path.iterdir()):
        if each.suffix == ENDING:
            yield each, f"{shown.rstrip('/')}/{each.name}"


def _is_inside(path: Path, root: Path) -> bool:
    try:
        return path.resolve().is_relative_to(root.resolve())
    except (OSError, RuntimeError, ValueError):
        return False


def together(above: Sequence[Profile], below: Sequence[Profile]) -> tuple[Profile, ...]:
    """The profiles of both; where two have one name, that of ``above`` counts."""
    return (*above, *(each for each in below if not any(same_name(each.name, other.name) for other in above)))
