"""What became faster or slower from one run of the benchmarks to another.

    python tests/benchmarks/compare.py OLD.json NEW.json --tolerance 0.1

Prints each cell that either run has. Where they ran on machines alike, with the same Python and the same peers, it
shows how wall time and the ratios to the peers changed: below 1 the new one is the faster. Where they did not, it says
what differs and shows both figures without a ratio.

Exit code: 0 no ratio to a peer became worse by more than the tolerance, 1 one did, 2 the files can't be compared.
"""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from cells import Cell, Figures, FiguresError, read
from tables import name, size, state, table
from tools import OURS

# What must be the same for times, and for ratios to peers, to be held against each other.
MACHINE = ("processor", "cores", "system", "implementation", "python")


def differences(old: Figures, new: Figures) -> list[str]:
    """What makes two runs no match; empty where they are."""
    found = [
        f"{what}: {old.machine.get(what)} and {new.machine.get(what)}"
        for what in MACHINE
        if old.machine.get(what) != new.machine.get(what)
    ]
    packages = [
        {name: version for name, version in each.machine["packages"].items() if name != OURS} for each in (old, new)
    ]
    for package in sorted(packages[0].keys() | packages[1].keys()):
        versions = [each.get(package, "none") for each in packages]
        if versions[0] != versions[1]:
            found.append(f"{package}: {versions[0]} and {versions[1]}")
    if old.options["seed"] != new.options["seed"]:
        found.append(f"seed of the libraries: {old.options['seed']} and {new.options['seed']}")
    return found


def lines(old: Figures, new: Figures, alike: bool) -> Iterator[tuple[str, ...]]:
    """A line for each cell of either run."""
    known = {cell.key: cell for cell in old.cells}
    for cell in new.cells:
        before = known.pop(cell.key, None)
        yield (cell.part, cell.kind, size(cell), name(cell), _wall(before), _wall(cell), _change(before, cell, alike))
    for cell in known.values():
        yield (cell.part, cell.kind, size(cell), name(cell), _wall(cell), "not in it", "")


def _wall(cell: Cell | None) -> str:
    return "not in it" if cell is None else f"{cell.wall:.3f}" if cell.runs else state(cell)


def _change(before: Cell | None, cell: Cell, alike: bool) -> str:
    return f"{cell.wall / before.wall:.2f}" if alike and before and before.runs and cell.runs else ""


def ratio_changes(old: Figures, new: Figures) -> Iterator[tuple[Cell, str, float, float]]:
    """For each of our cells that both runs hold against the same other: which, and both median ratios."""
    for cell in new.cells:
        before = old.cell(*cell.key)
        for against in cell.ratios if before and cell.tool == OURS else ():
            then, now = before.ratio(against) if before else None, cell.ratio(against)
            if then is not None and now is not None:
                yield cell, against, then, now


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("old", type=Path)
    parser.add_argument("new", type=Path)
    parser.add_argument("--tolerance", type=float, default=0.1, help="how much worse a ratio may be: 0.1 is a tenth")
    options = parser.parse_args()
    try:
        old, new = read(options.old), read(options.new)
    except (FiguresError, OSError) as error:
        print(error, file=sys.stderr)
        return 2
    differ = differences(old, new)
    heading = ("part", "kind", "size", "tool", "old wall, s", "new wall, s", "new / old")
    print(table(heading, lines(old, new, not differ)))
    if differ:
        print("\nNo ratios, for the runs are no match:", *differ, sep="\n  ")
        return 2
    changes = list(ratio_changes(old, new))
    if not changes:
        print("\nNo cell of either run is held against the same peer in both.")
        return 2
    most = 1 + options.tolerance
    rows = [
        (
            cell.part,
            cell.kind,
            size(cell),
            name(cell),
            against,
            f"{then:.3g}",
            f"{now:.3g}",
            f"{now / then:.2f}",
            _word(now / then, most),
        )
        for cell, against, then, now in changes
    ]
    print("\n" + table(("part", "kind", "size", "way", "against", "old ratio", "new ratio", "new / old", ""), rows))
    worse = sum(now / then > most for _, _, then, now in changes)
    print(f"\n{worse} of {len(changes)} ratios are worse by more than {options.tolerance:.0%}.")
    return 1 if worse else 0


def _word(change: float, most: float) -> str:
    return "worse" if change > most else "better" if change < 1 / most else "much the same"


if __name__ == "__main__":
    sys.exit(main())
