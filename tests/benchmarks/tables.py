"""Figures as tables of Markdown, which are also what `run.py` prints."""

from collections.abc import Iterable, Iterator, Sequence

from cells import MEASURED, Cell, Figures, spread
from goals import MIB, beside, each_more, growth, verdicts
from tools import OURS

Line = Sequence[str]

PEER_TELLS = {
    "yamllint": "layout only",
    "check-jsonschema": "some forty constraints",
    "script": "YAML C loader and jsonschema, the same constraints",
}


def table(heading: Line, lines: Iterable[Line]) -> str:
    rows = [heading, *lines]
    widths = [max(3, *(len(row[column]) for row in rows)) for column in range(len(heading))]
    shown = [
        "| " + " | ".join(f"{cell:{width}}" for cell, width in zip(row, widths, strict=True)) + " |" for row in rows
    ]
    shown.insert(1, "| " + " | ".join("-" * width for width in widths) + " |")
    return "\n".join(shown)


def state(cell: Cell) -> str:
    """Why a cell holds nothing, or holds less than it was meant to."""
    return f"{cell.state} ({cell.why})" if cell.state != MEASURED else ""


def size(cell: Cell) -> str:
    return f"{cell.size:,} lines" if cell.kind == "long" else f"{cell.size:,}"


def name(cell: Cell) -> str:
    return f"{cell.tool}, {cell.way}" if cell.way else cell.tool


def _ratio(values: Sequence[float] | None) -> str:
    return spread(values, ".3g") if values else ""


def growth_table(figures: Figures, kind: str) -> str:
    heading = (
        "size",
        "tool",
        "runs",
        "wall, s",
        "ms each",
        "ms each more",
        "growth",
        "peak MiB",
        "report MiB",
        "rxlint / tool",
        "goal",
    )
    return table(heading, _growth_lines(figures, kind))


def _growth_lines(figures: Figures, kind: str) -> Iterator[Line]:
    cells = figures.of("growth", kind)
    for cell in cells:
        if not cell.runs:
            yield size(cell), name(cell), "0", state(cell), *[""] * 6, beside(figures, cell, "")
            continue
        ours = next((each for each in cells if each.size == cell.size and each.tool == OURS), None)
        rate = growth(figures, cell)
        against = cell.tool if cell.tool != OURS else ""
        goal = beside(figures, ours, against) if ours and (against or cell is ours) else ""
        yield (
            size(cell),
            name(cell),
            str(len(cell.runs)),
            spread((run.wall for run in cell.runs), ".3f") + (f"; {cell.why}" if cell.why else ""),
            f"{cell.wall / cell.size * 1000:.3g}",
            f"{more * 1000:.3g}" if (more := each_more(figures, cell)) is not None else "",
            f"{rate:.2f}" if rate is not None else "",
            f"{cell.peak / MIB:.0f}",
            f"{cell.report / MIB:.1f}",
            _ratio(ours.ratios.get(against)) if ours and against else "",
            goal,
        )


def start_table(figures: Figures) -> str:
    cells = figures.of("start")
    others = [cell.tool for cell in cells if cell.tool in PEER_TELLS]
    heading = ("one file", "runs", "wall, ms", "peak MiB", *(f"rxlint / {other}" for other in others), "goal")
    lines = []
    for cell in cells:
        goals = "; ".join(f"{other} {told}" for other in others if (told := beside(figures, cell, other)))
        if not cell.runs:
            lines.append((name(cell), "0", state(cell), "", *("" for _ in others), goals))
            continue
        walls = spread((run.wall * 1000 for run in cell.runs), ".0f")
        ratios = (_ratio(cell.ratios.get(other)) for other in others)
        lines.append((name(cell), str(len(cell.runs)), walls, f"{cell.peak / MIB:.0f}", *ratios, goals))
    return table(heading, lines)


def beside_table(figures: Figures, part: str) -> str:
    """Cells that are held against one other: numbers of processes, and files that have not changed."""
    lines = []
    for cell in figures.of(part):
        against, ratios = next(iter(cell.ratios.items()), ("", []))
        walls = spread((run.wall for run in cell.runs), ".3f") if cell.runs else state(cell)
        ratio = f"{_ratio(ratios)} of {against}" if ratios else ""
        peak = f"{cell.peak / MIB:.0f}" if cell.runs else ""
        goal = beside(figures, cell, against) or "; ".join(
            f"at most {each.goal.most:.3g}: {each.word}"
            for each in verdicts(figures)
            if each.goal.of == cell.key and not against
        )
        lines.append((size(cell), name(cell), str(len(cell.runs)), walls, peak, ratio, goal))
    return table(("size", "tool", "runs", "wall, s", "peak MiB", "wall over another's", "goal"), lines)


def document_table(figures: Figures) -> str:
    lines = []
    for cell in figures.of("one document"):
        times = spread((run.wall * 1000 for run in cell.runs), ".1f") if cell.runs else state(cell)
        lines.append((cell.kind, str(len(cell.runs)), times, beside(figures, cell, "").replace("0.02", "20 ms")))
    return table(("one more document", "documents", "ms", "goal"), lines)


def imports_table(figures: Figures) -> str:
    known = figures.imports
    wanted = ", ".join(known["unwanted"]) or "none"
    lines = [
        (module, f"{own:.1f}", package, f"{whole:.1f}")
        for (module, own), (package, whole) in zip(
            known["heaviest_ms"].items(), known["packages_ms"].items(), strict=False
        )
    ]
    return "\n".join(
        [
            f"{known['modules']} modules in {known['total_ms']:.0f} ms, as the interpreter tells; telling takes time.",
            f"Of units' definitions, servers, editor and sheet, which a screening has no use for: {wanted}.",
            "",
            table(("heaviest modules", "own ms", "heaviest packages", "ms"), lines),
        ]
    )


def goals_table(figures: Figures) -> str:
    lines = [
        (
            each.goal.text,
            f"at most {each.goal.most:.3g}",
            "" if each.figure is None else f"{each.figure:.3g}",
            each.word,
        )
        for each in verdicts(figures)
    ]
    return table(("goal", "limit", "figure", ""), lines)


def library_table(figures: Figures) -> str:
    def findings(kind: str, size: int) -> str:
        cells = [each for each in figures.of("growth", kind) if each.size == size and each.findings is not None]
        return ", ".join(f"{each.findings:,} {each.tool}" for each in cells)

    lines = [
        (
            made["kind"],
            f"{made['size']:,}",
            f"{made['documents']:,}",
            f"{made['lines_a_file']:.0f}",
            f"{made['bytes_a_file']:.0f}",
            f"{made['yaml_bytes_a_file']:.0f}",
            f"{made['seen_before']:.1%}",
            f"{made['details_seen_before']:.1%}",
            f"{made['statements_seen_before']:.1%}",
            findings(made["kind"], made["size"]),
        )
        for made in figures.libraries
    ]
    heading = (
        "kind",
        "size",
        "files",
        "lines a file",
        "bytes",
        "in YAML",
        "lines",
        "details",
        "statements",
        "findings",
    )
    return table(heading, lines)
