"""`python -m tests.clean [--orders N] [--seed S]` draws clean orders, screens them and renews PAGE.md; `--check`
compares.

`--show RULE [K]` prints K orders behind a rule, with what it says; `--print K` prints K orders; neither writes
anything.
"""

from __future__ import annotations

import argparse
import sys
import time

from tests.clean import page, study
from tests.clean.scenarios import draw
from tests.clean.study import ORDERS, SEED


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.clean", description=__doc__)
    parser.add_argument("--orders", type=int, default=ORDERS, help=f"how many orders ({ORDERS})")
    parser.add_argument("--seed", type=int, default=SEED, help=f"another seed gives other orders ({SEED})")
    parser.add_argument("--first", action="store_true", help="keep this run as the first one")
    parser.add_argument("--check", action="store_true", help="say whether the page is what this run gives")
    parser.add_argument("--show", metavar="RULE", help="print orders behind a rule")
    parser.add_argument("--print", metavar="K", type=int, dest="printed", help="print orders")
    parser.add_argument("--least", type=int, default=3, metavar="K", help="how many orders to show (3)")
    given = parser.parse_args(arguments)
    if given.printed is not None:
        for order in draw(given.printed, given.seed).orders:
            print(f"# {order.kind}\n{order.text}")
        return 0
    begun = time.monotonic()
    results, heard = study.run(given.orders, given.seed)
    if given.show:
        return show(heard, given.show, given.least)
    if given.first:
        study.FIRST.write_text(study.stored(results), "utf-8")
    told(results, time.monotonic() - begun)
    return written(results, check=given.check)


def told(results: study.Results, seconds: float) -> None:
    print(f"{results.orders} orders in {seconds:.0f} s, {results.thrown} others thrown away")
    for each in results.told:
        print(f"{each.level:7}{100 * each.findings / results.orders:7.1f} per hundred  {each.rule}")


def written(results: study.Results, check: bool) -> int:
    """Write what differs, or say that it does."""
    new = {study.NOW: study.stored(results), page.PAGE: page.page(page.first(), page.unmended(), results)}
    stale = [path for path, text in new.items() if not path.is_file() or path.read_text("utf-8") != text]
    for path in stale:
        print(f"{'differs' if check else 'renewed'}: {path.name}")
        if not check:
            path.write_text(new[path], "utf-8")
    return 1 if check and stale else 0


def show(heard: page.Heard, rule: str, most: int) -> int:
    behind = [(order, [each for each in found if each.rule == rule]) for order, found in heard]
    for order, found in [each for each in behind if each[1]][:most]:
        print(f"# {order.kind}\n{order.text}")
        for finding in found:
            print(f"  {finding.level}: line {finding.place.line}: {finding.message}")
            print(*(f"    {line}" for line in finding.calculation), sep="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
