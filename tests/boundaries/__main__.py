"""`python -m tests.boundaries` tries every limit and writes PAGE.md; given names of packs, it only tells."""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

from tests.boundaries.page import PAGE, faults_of, page, row_of
from tests.boundaries.study import Verdict, verdicts
from tests.literals import pack_names


def main(arguments: Sequence[str]) -> int:
    """Try the limits; 1 where an answer is wrong."""
    begun = time.monotonic()
    found: dict[str, tuple[Verdict, ...]] = {}
    for name in arguments or pack_names():
        found[name] = tuple(verdicts(name))
        print(f"{name}: {len(found[name])} limits, {time.monotonic() - begun:.0f} s", flush=True)
    every = [verdict for each in found.values() for verdict in each]
    if arguments:
        print("\n".join(": ".join(row_of(each)) for each in every if each.how != "two units"))
    else:
        PAGE.write_text(page(found), encoding="utf-8")
    faults = faults_of(every)
    print("\n".join((*faults, f"{len(faults)} faults")))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
