"""`python -m tests.reached` writes PAGE.md; with `--seeded` it screens the seeded slips anew, for minutes."""

from __future__ import annotations

import sys

from tests.reached.page import PAGE, page, reasons, rows
from tests.reached.seeded import FILE, screened, written
from tests.slips.harness import digest_of_slips


def main(arguments: list[str]) -> int:
    """Write the page; 1 where a rule is reached by nothing but its cases and has no reason."""
    if arguments not in ([], ["--seeded"]):
        print(__doc__, file=sys.stderr)
        return 2
    if arguments:
        FILE.write_text(written(screened(lambda line: print(line, flush=True)), digest_of_slips()), "utf-8")
    PAGE.write_text(page(), "utf-8")
    missing = [row.rule for row in rows() if not row.is_shown and row.rule not in reasons()]
    print(f"{PAGE.name} written; without a reason: {', '.join(missing) or 'none'}")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
