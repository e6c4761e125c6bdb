"""Makes the libraries that the benchmarks read: N documents, each once in the notation and once in YAML.

    realistic   orders with the repetition that real protocol libraries have (orders.py)
    distinct    the same orders, in which no detail line is like any other of the whole library (distinct.py)
    templates   a third templates with ranges and tables, the rest orders that follow one of them (protocols.py)
    long        orders of some 5,000 lines, most of them sets of readings (readings.py)

Document i is the same whatever N is. Of the realistic and distinct ones, one in twenty has its PEEP raised and nothing
else changed, one in twenty-five an alarm limit over 100 %, so that there is something to report. All are screened
as of CLOCK.

Everything here is invented, to be read fast and often. None of the numbers is a recommendation.
"""

import datetime as dt
import functools
import random
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from distinct import distinct
from orders import KINDS, Slips
from protocols import follower, protocol
from readings import with_readings
from writing import Order, Section, as_notation, as_yaml, plain, words

CLOCK = dt.date(2026, 11, 24)  # the day the library is screened for; every document was written in the weeks before
PER_FOLDER = 250
AUTHORS = ("consultant nurse, home ventilation", "respiratory consultant", "intensive care registrar")
TEMPLATE_EVERY = 3  # documents 1, 4, 7 ... of the kind `templates` are templates
LONG = 5_000  # lines
DISK_A_DOCUMENT = 12 * 4096  # bytes, generously: two small files, a block more for each, and its part of a report


def make_order(number: int, seed: int) -> Order:
    """Document `number` (from 1) of the realistic library with this seed."""
    rng = random.Random(f"{seed} {number}")
    slips = Slips(peep=2 if number % 20 == 0 else 0, high_saturation=120 if number % 25 == 0 else None)
    written = CLOCK - dt.timedelta(days=rng.randint(4, 60))
    order = rng.choice(KINDS)(rng, written, slips)
    return Order(order.title, (head(rng, number, written), *order.sections))


def head(rng: random.Random, number: int, written: dt.date, follows: str = "") -> Section:
    """Identity and dates of an order."""
    stamp, role = f"{written} {rng.randint(8, 17):02}:{rng.choice((0, 15, 30, 45)):02}", rng.choice(AUTHORS)
    due = str(written + dt.timedelta(days=90))
    rows = (
        words("notation", "1"),
        words("id", f"TBS-{number:06}"),
        words("revision", plain(rng.randint(1, 6))),
        words("status", "active"),
        *((words("follows", follows),) if follows else ()),
        words("written", f'{stamp} by "{role}"', f'"{stamp} {role}"'),
        words("review by", due, f'"{due}"'),
    )
    return Section("", "", rows)


def make_distinct(number: int, seed: int) -> Order:
    return distinct(make_order(number, seed), number)


def make_protocol_or_follower(number: int, seed: int) -> Order:
    """A template, or an order that follows one of those before it, not always the last."""
    rng = random.Random(f"{seed} templates {number}")
    which = (number - 1) // TEMPLATE_EVERY  # the template of this number, or the last before it
    if (number - 1) % TEMPLATE_EVERY == 0:
        return protocol(which, seed)
    order, follows = follower(rng, rng.randint(max(0, which - 200), which), seed)
    written = CLOCK - dt.timedelta(days=rng.randint(4, 30))
    return Order(order.title, (head(rng, number, written, follows), *order.sections))


def make_long(number: int, seed: int, lines: int = LONG) -> Order:
    return with_readings(make_order(number, seed), CLOCK, lines)


MAKERS: dict[str, Callable[[int, int], Order]] = {
    "realistic": make_order,
    "distinct": make_distinct,
    "templates": make_protocol_or_follower,
    "long": make_long,
}


def make_library(folder: Path, count: int, seed: int, kind: str = "realistic", lines: int = LONG) -> None:
    """Write `count` documents as `folder/vrx/...` and as `folder/yaml/...`. Raises OSError where the disk is too small.

    `lines` is the length of each document of the kind `long`.
    """
    folder.mkdir(parents=True, exist_ok=True)
    needed = count * (DISK_A_DOCUMENT if kind != "long" else 64 * lines)
    free = shutil.disk_usage(folder).free
    if free < 2 * needed:
        raise OSError(f"{count:,} documents may take {needed:,} bytes, and only {free:,} are free in {folder}")
    make = functools.partial(make_long, lines=lines) if kind == "long" else MAKERS[kind]
    for number in range(1, count + 1):
        order, ward = make(number, seed), f"ward-{number // PER_FOLDER:03}"
        for ending, write in (("vrx", as_notation), ("yaml", as_yaml)):
            place = folder / ending / ward
            if number == 1 or number % PER_FOLDER == 0:
                place.mkdir(parents=True, exist_ok=True)
            with open(f"{place}/tbs-{number:06}.{ending}", "w", encoding="utf-8", newline="\n") as file:
                file.write(write(order))
    if kind == "templates":  # so that templates are looked for in the whole of it
        (folder / "vrx" / "rxlint.yaml").write_text("library: .\n", encoding="utf-8")


@dataclass(frozen=True)
class Census:
    """What a library is made of.

    A detail line is one that is indented. Shares are of all lines or of all detail lines: those that an earlier line of
    the library already had, letter by letter (`seen_before`, `details_seen_before`) or once comments at their ends are
    taken away (`statements_seen_before`).
    """

    documents: int
    lines_a_file: float
    bytes_a_file: float
    yaml_bytes_a_file: float
    seen_before: float
    details_seen_before: float
    statements_seen_before: float


def census(folder: Path) -> Census:
    """Count what is on the disk, not what was meant."""
    files = lines = size = details = 0
    different: set[str] = set()
    statements: set[str] = set()
    for path in (folder / "vrx").rglob("*.vrx"):
        data = path.read_bytes()
        files, size = files + 1, size + len(data)
        for line in data.decode("utf-8").split("\n")[:-1]:
            lines += 1
            different.add(line)
            if line.startswith(" "):
                details += 1
                statements.add(line.partition("  # ")[0])
    different_details = sum(line.startswith(" ") for line in different)
    yaml_size = sum(path.stat().st_size for path in (folder / "yaml").rglob("*.yaml"))
    return Census(
        documents=files,
        lines_a_file=lines / files,
        bytes_a_file=size / files,
        yaml_bytes_a_file=yaml_size / files,
        seen_before=1 - len(different) / lines,
        details_seen_before=1 - different_details / details,
        statements_seen_before=1 - len(statements) / details,
    )
