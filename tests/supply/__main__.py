"""Looks at what is installed here; exit code 1 where anything may not come in."""

import argparse
import datetime
import sys
from pathlib import Path

from tests.supply.accepted import ADVISORIES, is_accepted, known_against, read_for
from tests.supply.bill import missing_from
from tests.supply.installed import brought_by, distributions
from tests.supply.npm import ACCEPTED, packages

PAGE = Path(__file__).with_name("PAGE.md")
HEAD = """# What rxlint brings with it

Made by `python -m tests.supply --write`, on {day}: what was newest then, with rxlint and every extra for users.
Nothing of it is copied into the project; a wheel carries none. Where several licences stand, one may choose. BSD
without a number is what the distribution itself says.

Advisories are those that [advisories.yaml](advisories.yaml) lists, with how each is known: a copy of the database of
the Python Packaging Authority up to 2023, and memory for what came later. So "nothing" means nothing of that list;
whoever has the network asks again with `pip-audit`. A test holds what is installed against the list.

| distribution | version | licence | brought by | known against it |
| --- | --- | --- | --- | --- |
"""

NPM = """
## What npm fetches for the page in a browser

`rxlint page` lets npm fetch these by `rxlint/page/web/package-lock.json`, at these versions and no other, each held
against its digest; no script of a package is run. The folder that it makes carries them, with their licences in
licences.txt; the project and its wheel carry none. What is known against them was not read: whoever has the network
asks with `npm audit`, in a copy of that folder.

| package | version | licence | for |
| --- | --- | --- | --- |
"""


def main() -> None:
    parser = argparse.ArgumentParser(description="What does rxlint bring with it?")
    parser.add_argument("--write", action="store_true", help="write PAGE.md")
    parser.add_argument(
        "--bill", type=Path, metavar="FILE", help="a bill of materials of an environment without extras"
    )
    options = parser.parse_args()
    rows, faults = [], []
    for each in distributions():
        against = known_against(each)
        told = ", ".join(advisory.identifier for advisory in against) or "nothing"
        told = told if each.name in read_for() else "not read"
        rows.append(
            f"| {each.name} | {each.version} | {' or '.join(each.licences) or 'not stated'} "
            f"| {', '.join(extra for extra in each.extras) or 'rxlint'} | {told} |"
        )
        if against or not is_accepted(each):
            faults.append(f"{each.name} {each.version}: licence {each.licences}, known against it: {told}")
    npm = []
    for package in packages():
        what = "tests" if package.is_for_tests else "the page"
        npm.append(f"| {package.name} | {package.version} | {package.licence} | {what} |")
        if package.licence not in ACCEPTED:
            faults.append(f"{package.name} {package.version}: licence {package.licence}")
    if options.bill is not None:
        faults += [f"{options.bill} lacks {name}" for name in sorted(missing_from(options.bill, brought_by("")))]
    if options.write:
        head = HEAD.format(day=datetime.date.today())
        PAGE.write_text(head + "\n".join(rows) + "\n" + NPM + "\n".join(npm) + "\n", encoding="utf-8")
    print(f"{len(rows)} distributions, {len(npm)} packages of npm; advisories of {ADVISORIES.name} held against them")
    sys.exit("\n".join(faults) if faults else 0)


if __name__ == "__main__":
    main()
