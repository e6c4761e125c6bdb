"""Pages made from the figures of a run, so that no figure in them is typed by hand.

    python tests/benchmarks/page.py RESULT.json --page README.md --page tests/benchmarks/RESULTS.md

A page that holds `<!-- speed -->` and `<!-- /speed -->` gets the short table between them; any other is written anew as
the long page.
"""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

import tables
from cells import Cell, Figures, FiguresError, read
from goals import MIB, same_as, verdicts
from suite import COLD, INSTALLED, SAME_FILE, SECOND
from tools import OURS

START, END = "<!-- speed -->", "<!-- /speed -->"
SHORT_KINDS = ("realistic", "distinct")
CHECKOUT = Path(__file__).resolve().parent.parent.parent


def machine(figures: Figures) -> Iterator[str]:
    """What the figures were taken on, with what."""
    about = figures.machine
    packages = ", ".join(f"{name} {version}" for name, version in about["packages"].items())
    yield f"{figures.made}, {about['processor']}, {about['cores']} cores, {about['memory_gib']} GiB; {about['system']};"
    yield f"{about['implementation']} {about['python']}; {packages}; rxlint of {about['commit']}."
    yield f"Load of the machine before and after: {about['load_before']:.1f} and {about['load_after']:.1f}."


def short(figures: Figures) -> str:
    """The part for README.md: one file, and the largest sizes that were run."""
    lines = [*machine(figures), ""]
    tools = list(tables.PEER_TELLS)
    heading = ("", "rxlint", *tools, *(f"rxlint / {tool}" for tool in tools), "peak MiB")
    rows = [
        _row(figures, f"one file, {way}", figures.cell("start", "realistic", 1, OURS, way))
        for way in (INSTALLED, SECOND, SAME_FILE)
    ]
    for kind in SHORT_KINDS:
        for cell in figures.of("growth", kind):
            if cell.tool == OURS and cell.way == COLD and cell.size > 1:
                rows.append(_row(figures, f"{cell.size:,} files, {kind}", cell))
    for cell in figures.of("again"):
        if cell.tool == OURS and cell.runs:
            rows.append(_row(figures, f"{cell.size:,} files, unchanged, again", cell))
    lines += [tables.table(heading, [row for row in rows if row])]
    judged = verdicts(figures)
    met = sum(each.word == "met" for each in judged)
    unmet = sum(each.word == "not met" for each in judged)
    lines += [
        "",
        f"Medians of whole processes. Of our {len(judged)} goals {met} are met, {unmet} are not, and",
        f"{len(judged) - met - unmet} were not run; [the long table](tests/benchmarks/RESULTS.md) has them all.",
    ]
    return "\n".join(lines)


def _row(figures: Figures, title: str, cell: Cell | None) -> tuple[str, ...]:
    if cell is None:
        return ()
    tools = list(tables.PEER_TELLS)
    cell = same_as(figures, cell)
    if not cell.runs:
        return (title, tables.state(cell), *("" for _ in tools), *("" for _ in tools), "")
    others = [figures.cell(cell.part, cell.kind, cell.size, tool, "") for tool in tools]
    walls = [_time(other) if other and other.runs and cell.ratios.get(other.tool) else "" for other in others]
    ratios = [f"{value:.3g}" if (value := cell.ratio(tool)) is not None else "" for tool in tools]
    return (title, _time(cell), *walls, *ratios, f"{cell.peak / MIB:.0f}")


def _time(cell: Cell) -> str:
    return f"{cell.wall * 1000:.0f} ms" if cell.wall < 1 else f"{cell.wall:.2f} s"


def long(figures: Figures) -> str:
    """Everything."""
    peers = "\n".join(f"- `{tool}`: {tells}" for tool, tells in tables.PEER_TELLS.items())
    kinds = dict.fromkeys(cell.kind for cell in figures.of("growth"))
    parts = [
        "# How fast it is",
        "Made by `tests/benchmarks/run.py`; [README.md](../../README.md) shows a part of it. "
        "Everything in the libraries is invented.",
        "\n".join(machine(figures)),
        HOW.format(rounds=figures.options["rounds"], limit=figures.options["limit"], peers=peers),
        "\n".join(f"- {remark}" for remark in figures.remarks),
        "## Goals\n\n" + tables.goals_table(figures),
        *([f"## One file\n\n{tables.start_table(figures)}"] if figures.of("start") else []),
        *([f"### What it imports\n\n{tables.imports_table(figures)}"] if figures.imports else []),
        *([f"## One document more\n\n{tables.document_table(figures)}"] if figures.of("one document") else []),
        *(f"## From size to size: {kind}\n\n{tables.growth_table(figures, kind)}" for kind in kinds),
        *([f"## Several processes\n\n{tables.beside_table(figures, 'jobs')}"] if figures.of("jobs") else []),
        *([f"## Unchanged files again\n\n{tables.beside_table(figures, 'again')}"] if figures.of("again") else []),
        f"## The libraries\n\n{LIBRARIES}\n\n{tables.library_table(figures)}",
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


HOW = """\
Whole processes, from start to exit, each with its report written to a file; up to {rounds} rounds, fewer where they
take long; median, with lowest and highest. No run may take more than {limit:.0f} s; what would is not run, and shown as
such. rxlint reads the notation, the others the same content in YAML:

{peers}

Each run of a peer has a run of rxlint right before or after it, taking turns; `rxlint / tool` is the ratio within such
pairs, and below 1 rxlint is the faster; beyond 10,000 documents one run of rxlint stands beside every peer, and several
processes are not compared. `cold` has a new and empty home folder, so nothing is kept from an earlier run.
Between a size and the next smaller one, `ms each more` is the time for each document, or line, that came to it, and
`growth` how wall time grew over how the size grew: 1 is a straight line. Peak memory is that of the largest process."""

LIBRARIES = """\
Shares of lines, of detail lines (those that are indented), and of statements (details without a comment at their end)
that an earlier line of the same library already had. Findings are of the cold run."""


def put(figures: Figures, page: Path) -> None:
    """Write a page, or the part of it between the marks. Raises FiguresError where a mark stands alone."""
    text = page.read_text("utf-8") if page.exists() else ""
    if START not in text and END not in text:
        page.write_text(long(figures), encoding="utf-8")
        return
    before, start, rest = text.partition(START)
    _, end, after = rest.partition(END)
    if not start or not end:
        raise FiguresError(f"{page} holds one of {START} and {END} without the other, or the last first")
    page.write_text(f"{before}{START}\n{short(figures)}\n{END}{after}", encoding="utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("figures", type=Path, help="what `run.py --json` wrote")
    parser.add_argument("--page", type=Path, action="append", default=[], help="write this page; without it, print")
    options = parser.parse_args()
    try:
        figures = read(options.figures)
        for page in options.page:
            put(figures, page)
    except (FiguresError, OSError) as error:
        sys.exit(str(error))
    if not options.page:
        print(long(figures), end="")


if __name__ == "__main__":
    main()
