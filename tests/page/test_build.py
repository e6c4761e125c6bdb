"""The folder that ``rxlint page`` makes: what is in it, what is not, and where it is refused."""

import base64
import csv
import hashlib
import io
import json
import re
import shutil
import subprocess
import sys
import zipfile
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from rxlint.page.build import PYTHON, make_page
from rxlint.page.folder import check_place, put, write_list
from rxlint.page.problems import OutOfReach, Unbuildable
from rxlint.page.wheels import NAMES, wheels
from tests.conftest import RunCli
from tests.page.nodes import NODE, WEB, lay_out_sockets

SCRIPTS = ("page.js", "sheet.js", "worker.js", "runtime.js", "offline.js")
# Needed by rxlint[sheet] and not brought along; rxlint/page/wheels.py says why.
LEFT_OUT = {"pint"}


def names_in(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def needed(name: str, extras: frozenset[str] = frozenset()) -> set[str]:
    """A distribution and all that it needs in a browser, as what is installed says."""
    found = {str(canonicalize_name(name))}
    for line in metadata.requires(name) or []:
        each = Requirement(line)
        wanted = any(
            each.marker is None or each.marker.evaluate({"extra": extra, "platform_system": "Emscripten"})
            for extra in (*extras, "")
        )
        if wanted and canonicalize_name(each.name) not in LEFT_OUT:
            found |= needed(each.name)
    return found


@pytest.fixture(scope="module")
def sources(tmp_path_factory: pytest.TempPathFactory, made_page: Path) -> Path:
    """The page's sources with all packages of the lock file, also those that only check."""
    assert made_page.is_dir()  # the registry can be reached, then
    web = tmp_path_factory.mktemp("sources") / "web"
    shutil.copytree(WEB, web, ignore=shutil.ignore_patterns("node_modules"))
    command = [str(shutil.which("npm")), "ci", "--ignore-scripts", "--no-audit", "--no-fund"]
    subprocess.run(command, cwd=web, check=True, timeout=300, capture_output=True)
    return web


# ---- what is in it


def test_the_folder_holds_exactly_what_it_should(made_page: Path) -> None:
    static = {path.name for path in WEB.iterdir() if path.suffix in (".html", ".css", ".svg", ".webmanifest")}
    assert {"index.html", "sheet.html"} <= static
    packed = {f"wheels/{each.name}" for each in wheels()}
    assert len(packed) == len(NAMES) + 1
    own = {"files.json", "licences.txt", "ready.zip", "start.json", *(f"python/{name}" for name in PYTHON)}
    assert names_in(made_page) == static | packed | own | set(SCRIPTS)


def test_the_lists_name_every_file(made_page: Path) -> None:
    listed = json.loads((made_page / "files.json").read_text("utf-8"))["files"]
    assert set(listed) == names_in(made_page) - {"files.json"}
    for path, told in listed.items():
        data = (made_page / path).read_bytes()
        assert told == {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
    kept = (made_page / "offline.js").read_text("utf-8")
    assert [path for path, told in listed.items() if told["sha256"] not in kept] == ["offline.js"]


def test_a_start_knows_how_much_it_reads(made_page: Path) -> None:
    start = json.loads((made_page / "start.json").read_text("utf-8"))
    assert {each["path"] for each in start["archives"]} == {
        path for path in names_in(made_page) if path.endswith((".whl", "ready.zip"))
    }
    for each in start["python"] + start["archives"]:
        assert (made_page / each["path"]).stat().st_size == each["bytes"]


def test_python_is_the_package_as_it_was_published(made_page: Path, sources: Path) -> None:
    """Less what only others need; its library's modules stand there as they were, some of them compiled as well."""
    published = sources / "node_modules" / "pyodide"
    for name in set(PYTHON) - {"python_stdlib.zip"}:
        assert (made_page / "python" / name).read_bytes() == (published / name).read_bytes(), name
    with (
        zipfile.ZipFile(published / "python_stdlib.zip") as theirs,
        zipfile.ZipFile(made_page / "python" / "python_stdlib.zip") as ours,
    ):
        files = {name for name in theirs.namelist() if not name.endswith("/")}
        added = set(ours.namelist()) - files
        assert all(name.endswith(".pyc") and name[:-1] in files for name in added)
        assert len(added) > 100
        assert all(ours.read(name) == theirs.read(name) for name in files)


def test_what_is_kept_of_the_packs_is_there(made_page: Path) -> None:
    with zipfile.ZipFile(made_page / "ready.zip") as archive:
        names = set(archive.namelist())
    assert {"kept/packs.json", "kept/terms.json", "kept/vocabulary.json"} <= names
    compiled = {name for name in names if name.startswith("app/")}
    assert {"app/rxlint/page/__pycache__/desk.cpython-314.pyc", "app/lark/__pycache__/lark.cpython-314.pyc"} <= compiled
    assert names == compiled | {name for name in names if name.startswith("kept/") and name.endswith(".json")}


def test_licences_of_all_that_is_bundled_stand_there(made_page: Path) -> None:
    text = (made_page / "licences.txt").read_text("utf-8")
    for name in json.loads((WEB / "package.json").read_text("utf-8"))["dependencies"]:
        assert (f"\n{name} " in text) == (name != "esbuild")
    assert "\npyodide 314.0.7: MPL-2.0\n" in text


# ---- nothing from elsewhere


def test_scripts_name_no_address_elsewhere(made_page: Path) -> None:
    """An address in them is the name of a kind of XML, or stands in a text that is shown."""
    for name in (*SCRIPTS, "index.html", "sheet.html"):
        text = (made_page / name).read_text("utf-8")
        found = set(re.findall(r"(?:https?:|wss?:)?//[a-z0-9-]+\.[a-z0-9.-]+", text))
        assert found <= {"http://www.w3.org"}, name
        assert "sourceMappingURL" not in text


def test_pyodide_s_own_server_is_never_the_place_of_packages(made_page: Path) -> None:
    """Its module names one, for those who say no other; what is said to it names the folder."""
    assert (made_page / "python" / "pyodide.mjs").read_text("utf-8").count("https://cdn.") == 1
    lay_out_sockets(made_page)
    script = (
        f"const {{ runtimeOf }} = await import({json.dumps(NODE.as_uri())});"
        f"const {{ runtime, around }} = await runtimeOf({json.dumps(str(made_page))});"
        "const { cdnUrl, packageBaseUrl, packageCacheDir, indexURL } = (await runtime.boot(around, []))._api.config;"
        "console.log(JSON.stringify([cdnUrl, packageBaseUrl, packageCacheDir, indexURL]));"
    )
    told = subprocess.run(
        ["node", "--input-type=module", "-e", script], capture_output=True, check=True, timeout=300, encoding="utf-8"
    ).stdout
    assert json.loads(told) == [f"{made_page / 'python'}/"] * 4


# ---- wheels


def test_wheels_are_those_that_the_sheet_needs() -> None:
    assert needed("rxlint", frozenset({"sheet"})) == {"rxlint", *map(canonicalize_name, NAMES)}


def test_records_of_wheels_are_right_and_nothing_is_compiled(made_page: Path) -> None:
    for path in (made_page / "wheels").iterdir():
        with zipfile.ZipFile(path) as archive:
            assert archive.testzip() is None
            names = archive.namelist()
            record = next(name for name in names if name.endswith(".dist-info/RECORD"))
            rows = list(csv.reader(io.StringIO(archive.read(record).decode("utf-8"))))
            assert [row[0] for row in rows] == [*sorted(set(names) - {record}), record]
            for name, digest, size in rows[:-1]:
                data = archive.read(name)
                wanted = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).decode().rstrip("=")
                assert (digest, size) == (f"sha256={wanted}", str(len(data)))
            folder = record.partition("/")[0]
            assert {f"{folder}/METADATA", f"{folder}/WHEEL"} <= set(names)
            assert any(name.startswith(folder) and "licen" in name.lower() for name in names), path.name
            assert [
                name for name in names if name.endswith((".so", ".pyd", ".c", ".pyc")) or "__pycache__" in name
            ] == []


def test_wheels_can_be_installed_and_used(made_page: Path, tmp_path: Path) -> None:
    target = tmp_path / "here"
    packed = sorted(str(path) for path in (made_page / "wheels").iterdir())
    command = ["-m", "pip", "install", "--quiet", "--no-deps", "--no-index", "--no-compile", "--target", str(target)]
    subprocess.run([sys.executable, *command, *packed], check=True, timeout=300)
    script = (
        f"import sys; sys.path.insert(0, {str(target)!r})\n"
        "import rxlint, jinja2, lark, markupsafe, ruamel.yaml\n"
        f"assert all(each.__file__.startswith({str(target)!r}) for each in (rxlint, jinja2, lark, markupsafe))\n"
        "print(len(rxlint.screen_text('settings\\n  PEEP 5 cmH2O\\n').findings))"
    )
    told = subprocess.run(
        [sys.executable, "-I", "-c", script], cwd=tmp_path, capture_output=True, check=True, timeout=300
    ).stdout
    assert int(told) > 0


def test_wheels_come_out_the_same(made_page: Path) -> None:
    first = {each.name: each.data for each in wheels()}
    assert first == {each.name: each.data for each in wheels()}
    assert first == {path.name: path.read_bytes() for path in (made_page / "wheels").iterdir()}


# ---- where it is put


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A folder as it would be made, but small."""
    made = tmp_path / "made"
    (made / "python").mkdir(parents=True)
    (made / "index.html").write_text("new", "utf-8")
    (made / "python" / "a").write_text("new", "utf-8")
    write_list(made)
    return made


def test_a_new_and_an_empty_folder_are_taken(small: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    for name in ("fresh", "empty"):
        put(small, tmp_path / name)
        assert names_in(tmp_path / name) == names_in(small)


def test_a_folder_made_before_is_replaced_whole(small: Path, tmp_path: Path) -> None:
    place = tmp_path / "page"
    (place / "old").mkdir(parents=True)
    (place / "old" / "part.js").write_text("old", "utf-8")
    write_list(place)
    put(small, place)
    assert names_in(place) == names_in(small)
    assert {path.name for path in tmp_path.iterdir()} == {"made", "page"}


@pytest.mark.parametrize("name", ["files.json", "index.html", "notes.txt", "python/notes.txt"])
def test_a_folder_that_is_not_ours_is_left_alone(small: Path, tmp_path: Path, name: str) -> None:
    place = tmp_path / "mine"
    (place / "python").mkdir(parents=True)
    (place / name).write_text("mine", "utf-8")
    with pytest.raises(Unbuildable, match="which this command did not write"):
        put(small, place)
    assert names_in(place) == {name}
    assert (place / name).read_text("utf-8") == "mine"


def test_a_strange_file_in_a_folder_of_ours_is_left_alone(small: Path, tmp_path: Path) -> None:
    place = tmp_path / "page"
    put(small, place)
    (place / "order.vrx").write_text("mine", "utf-8")
    with pytest.raises(Unbuildable, match=r"order\.vrx, which this command did not write"):
        put(small, place)
    assert (place / "order.vrx").read_text("utf-8") == "mine"


def test_a_file_and_a_place_in_no_folder_are_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine", "utf-8")
    with pytest.raises(Unbuildable, match="is not a folder"):
        check_place(tmp_path / "file")
    with pytest.raises(Unbuildable, match="make it first"):
        check_place(tmp_path / "none" / "page")


# ---- the command


def test_the_command_refuses_a_folder_that_is_not_ours(run_cli: RunCli, tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "a.txt").write_text("mine", "utf-8")
    result = run_cli("page", "-o", "mine")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "mine is there already and holds a.txt, which this command did not write" in result.stderr
    assert names_in(tmp_path) == {"mine/a.txt"}


def test_the_command_says_what_is_missing(run_cli: RunCli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rxlint.page.npm.shutil.which", lambda _name: None)
    result = run_cli("page", "-o", "page")
    assert result.exit_code == 2
    assert "npm is not here: making the page takes Node.js 20 or newer with npm" in result.stderr
    assert names_in(tmp_path) == set()


@pytest.mark.skipif(shutil.which("npm") is None, reason="npm is not installed here")
def test_a_registry_out_of_reach_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("npm_config_registry", "http://127.0.0.1:9/")
    monkeypatch.setenv("npm_config_cache", str(tmp_path / "cache"))
    monkeypatch.setenv("npm_config_fetch_retries", "0")
    with pytest.raises(OutOfReach, match="npm can't reach its registry"):
        make_page(tmp_path / "page", lambda _step: None)
    assert not (tmp_path / "page").exists()


# ---- types


def test_types_of_the_page_s_scripts_hold(sources: Path) -> None:
    for project in ("tsconfig.json", "tsconfig.worker.json"):
        command = ["node", "node_modules/typescript/bin/tsc", "--noEmit", "-p", project]
        done = subprocess.run(command, cwd=sources, capture_output=True, check=False, timeout=300, encoding="utf-8")
        assert (done.stdout, done.returncode) == ("", 0)
