"""The house rules that no linter knows: who may import whom, how long things may be, what stands at the top."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "rxlint"

# One way through the program: a folder imports only those before it.
ORDER = (
    "store",
    "text",
    "units",
    "vocabulary",
    "expressions",
    "notation",
    "physiology",
    "model",
    "packs",
    "extension",
    "screening",
    "library",
    "exchange",
    "interface",
    "reports",
    "archive",
    "editor",
    "page",
    "commands",
)
SKIN = ("cli", "__main__")  # they may import everything, and nothing imports them
COMMON = "data"  # everything may import it, and it imports nothing of ours
OFFERED = "interface"  # what the package itself hands on to programs, when they ask for it

LONGEST_FILE = 500
LONGEST_FUNCTION = 80

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "rxlint",
    "grammar",
    "rules",
    "tests",
    "examples",
}
MADE_BY_TOOLS = {"dist", "PKG-INFO"}  # never committed: a build's output, and what a source archive adds


def python_files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*.py") if "__pycache__" not in path.parts)


def imported_modules(tree: ast.Module, package: tuple[str, ...]) -> Iterator[tuple[int, str]]:
    """Every module that the tree imports anywhere, as (line, dotted name); `package` is where the module stands.

    `from a import b` counts as `a.b`, for b may be a module.
    """
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = package[: len(package) - node.level + 1] if node.level else ()
            base = ".".join([*above, *([node.module] if node.module else [])])
            yield from ((node.lineno, f"{base}.{alias.name}") for alias in node.names)


def part_of(dotted: str) -> str:
    """`rxlint.units.table` -> `units`; `` for the package itself and for everything that is not ours."""
    names = dotted.split(".")
    return names[1] if names[0] == "rxlint" and len(names) > 1 else ""


def may_import(importer: str, imported: str) -> bool:
    if imported not in (*ORDER, *SKIN, COMMON) or imported == importer:
        return True
    if importer in SKIN:
        return True
    if importer == "":
        return imported == OFFERED
    if imported in SKIN or importer == COMMON:
        return False
    return imported == COMMON or ORDER.index(imported) < ORDER.index(importer)


def wrong_imports(source: str, relative: Path) -> list[str]:
    """The imports that the order forbids to the module at `relative` (to the checkout)."""
    package = relative.parent.parts
    at_top = "" if relative.stem == "__init__" else relative.stem
    importer = package[1] if len(package) > 1 else at_top
    return [
        f"{relative}:{line}: {importer or 'rxlint'} may not import {dotted}"
        for line, dotted in imported_modules(ast.parse(source), package)
        if not may_import(importer, part_of(dotted))
    ]


def long_functions(source: str, relative: Path) -> list[str]:
    return [
        f"{relative}:{node.lineno}: {node.name} has {length} lines"
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (length := (node.end_lineno or node.lineno) - node.lineno + 1) > LONGEST_FUNCTION
    ]


def test_every_folder_has_its_place_in_the_order() -> None:
    folders = {path.parent.relative_to(PACKAGE).parts[0] for path in python_files(PACKAGE) if path.parent != PACKAGE}
    assert folders <= set(ORDER)


def test_every_module_at_the_package_s_top_is_known() -> None:
    assert {path.stem for path in PACKAGE.glob("*.py")} <= {"__init__", COMMON, *SKIN}


def test_folders_import_only_folders_above_them() -> None:
    modules = python_files(PACKAGE)
    assert len(modules) >= 5, "the walk has missed the package"
    wrong = [line for path in modules for line in wrong_imports(path.read_text("utf-8"), path.relative_to(ROOT))]
    assert wrong == []


@pytest.mark.parametrize(
    ("where", "source"),
    [
        ("rxlint/text/lines.py", "from rxlint.units import table"),
        ("rxlint/text/lines.py", "from rxlint import model"),
        ("rxlint/text/lines.py", "def late():\n    import rxlint.screening.findings"),
        ("rxlint/text/deep/lines.py", "from ...units import table"),
        ("rxlint/text/__init__.py", "from ..units import table"),
        ("rxlint/editor/server.py", "from rxlint.cli import main"),
        ("rxlint/data.py", "import rxlint.text"),
        ("rxlint/__init__.py", "from .text import lines"),
        ("rxlint/interface/screened.py", "from rxlint.reports import text"),
        ("rxlint/library/screen.py", "from rxlint import interface"),
    ],
)
def test_a_wrong_import_is_seen(where: str, source: str) -> None:
    assert len(wrong_imports(source, Path(where))) == 1


@pytest.mark.parametrize(
    ("where", "source"),
    [
        ("rxlint/units/table.py", "from rxlint.units.dimensions import Dimension"),
        ("rxlint/units/table.py", "from .dimensions import Dimension"),
        ("rxlint/units/table.py", "from rxlint.text import lines\nfrom rxlint import __version__, data"),
        ("rxlint/units/table.py", "from model import units\nimport click"),
        ("rxlint/cli.py", "from rxlint.editor import server"),
        ("rxlint/__init__.py", "from rxlint import interface"),
    ],
)
def test_a_right_import_is_left_alone(where: str, source: str) -> None:
    assert wrong_imports(source, Path(where)) == []


def test_files_and_functions_are_short() -> None:
    files = python_files(PACKAGE) + python_files(ROOT / "tests")
    sources = [(path.relative_to(ROOT), path.read_text("utf-8")) for path in files]
    long_files = [f"{path}: {lines} lines" for path, text in sources if (lines := text.count("\n")) > LONGEST_FILE]
    assert long_files + [line for path, text in sources for line in long_functions(text, path)] == []


def test_scripts_and_styles_of_the_page_are_short() -> None:
    web = PACKAGE / "page" / "web"
    files = [path for path in web.rglob("*") if path.suffix in (".ts", ".mjs", ".css") and path.is_file()]
    own = [path for path in files if "node_modules" not in path.parts]
    assert len(own) >= 5, "the walk has missed the page"
    assert [str(path) for path in own if path.read_text("utf-8").count("\n") > LONGEST_FILE] == []


def test_a_long_function_is_seen() -> None:
    body = "    pass\n" * LONGEST_FUNCTION
    assert len(long_functions("def f():\n" + body, Path("x.py"))) == 1
    assert long_functions("def f():\n" + body[: -len("    pass\n")], Path("x.py")) == []


def test_every_package_says_what_lives_there() -> None:
    packages = {path.parent for path in python_files(PACKAGE)}
    silent = [
        str(folder.relative_to(ROOT))
        for folder in sorted(packages)
        if not (head := folder / "__init__.py").is_file() or not ast.get_docstring(ast.parse(head.read_text("utf-8")))
    ]
    assert silent == []


def test_the_top_level_holds_only_what_belongs_there() -> None:
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - TOP_LEVEL - MADE_BY_TOOLS == set()
