"""The tools that are measured, their environments, and one run of one of them.

rxlint is installed from a wheel of the checkout in an environment of its own, the peers together in another, both with
the interpreter that runs this. A run has a home folder that is given to it, and nothing else of the user's.
"""

import json
import os
import subprocess
import sys
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from library import CLOCK

HERE = Path(__file__).resolve().parent
CHECKOUT = HERE.parent.parent
PEERS = ("yamllint", "check-jsonschema", "pyyaml", "jsonschema")
OURS = "rxlint"
EXTRAS = "fast,editor,sheet"
LARGE, TAIL = 256 * 1024 * 1024, 64 * 1024  # bytes of a report, and of its end


def fail(message: str) -> NoReturn:
    sys.exit(f"benchmark stopped: {message}")


def say(message: str) -> None:
    print(message, file=sys.stderr, flush=True)


@dataclass(frozen=True)
class Tool:
    """A command: `reads` is what it is given, "vrx" or "yaml", `fine` the exit codes of a run that did its work.

    It is given the folder, or where `takes_files` the files, on as many command lines as that needs.
    """

    name: str
    command: tuple[str, ...]
    reads: str
    fine: tuple[int, ...]
    takes_files: bool = False


@dataclass(frozen=True)
class Run:
    """What one run took: wall and processor time in seconds, peak memory in bytes (of the largest process where there
    are several), bytes of its report, and how many processes it was started as."""

    wall: float
    processor: float
    peak: int
    report: int
    processes: int = 1


class StoppedError(Exception):
    """A run took longer than it may."""


@dataclass(frozen=True)
class Environment:
    """Two folders of commands, and what was found out about the wheel."""

    ours: Path
    peers: Path
    carried: tuple[str, ...]  # files of the wheel that are no part of the checkout: made when it was built
    options: frozenset[str]  # those of `rxlint screen`

    def has(self, option: str) -> bool:
        return option in self.options


def make_environment(folder: Path, checkout: Path, extras: str) -> Environment:
    """Both environments, made where they are not there; the wheel is built and installed each time."""
    ours, peers = folder / "ours", folder / "peers"
    if not (peers / "bin" / "check-jsonschema").exists():
        say(f"installing {', '.join(PEERS)} in {peers}")
        _python("-m", "venv", str(peers))
        _install(peers, *PEERS)
    say(f"installing a wheel of {checkout} with [{extras}] in {ours}")
    if not (ours / "bin" / "pip").exists():
        _python("-m", "venv", str(ours))
    wheels = folder / "wheels"
    for old in wheels.glob("*.whl"):
        old.unlink()
    _run(ours / "bin" / "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(wheels), str(checkout))
    (wheel,) = wheels.glob("*.whl")
    _install(ours, f"{wheel}[{extras}]" if extras else str(wheel))
    _install(ours, "--force-reinstall", "--no-deps", str(wheel))
    _run(ours / "bin" / "python", "-m", "compileall", "-q", str(next(ours.glob("lib/*/site-packages/rxlint"))))
    return Environment(ours / "bin", peers / "bin", carried(wheel, checkout), screen_options(ours / "bin" / "rxlint"))


def _python(*arguments: str) -> None:
    _run(Path(sys.executable), *arguments)


def _install(environment: Path, *what: str) -> None:
    _run(environment / "bin" / "pip", "install", "--quiet", *what)


def _run(program: Path, *arguments: str) -> str:
    done = subprocess.run([str(program), *arguments], capture_output=True, text=True, check=False)
    if done.returncode:
        fail(f"{program.name} {' '.join(arguments)}: {done.stderr.strip()[-800:]}")
    return done.stdout


def carried(wheel: Path, checkout: Path) -> tuple[str, ...]:
    """The files that a wheel has and the checkout lacks, but for what describes the wheel itself."""
    places = {"rxlint/_data/": checkout, "rxlint/": checkout / "rxlint"}

    def is_ours(name: str) -> bool:
        for start, folder in places.items():
            if name.startswith(start):
                return (folder / name.removeprefix(start)).exists()
        return ".dist-info/" in name

    with zipfile.ZipFile(wheel) as archive:
        return tuple(sorted(name for name in archive.namelist() if not is_ours(name)))


def screen_options(rxlint: Path) -> frozenset[str]:
    """The long options that `rxlint screen --help` lists at the start of a line."""
    lines = (line.strip() for line in _run(rxlint, "screen", "--help").split("\n"))
    return frozenset(word.rstrip(",") for line in lines if line.startswith("-") for word in line.split()[:2])


def rxlint(environment: Environment, *more: str, name: str = OURS) -> Tool:
    """`rxlint screen` as it is measured: every rule, findings, coverage and JSON written; one process unless told."""
    jobs = ("--jobs", "1") if environment.has("--jobs") and "--jobs" not in more else ()
    start = (str(environment.ours / "python"), str(environment.ours / "rxlint"), "screen")
    return Tool(name, (*start, "--format", "json", "--on", str(CLOCK), *jobs, *more), "vrx", (0, 1))


def peers(environment: Environment, kind: str, work: Path) -> list[Tool]:
    """The peers, with the schema for a kind of library."""
    python, schema = str(environment.peers / "python"), work / f"{kind}.schema.json"
    script = str(HERE / "peer.py")
    schema.write_text(_run(environment.peers / "python", script, "--schema", kind), encoding="utf-8")
    checker = (python, str(environment.peers / "check-jsonschema"), "-v", "-o", "json", "--schemafile", str(schema))
    return [
        Tool("yamllint", (python, str(environment.peers / "yamllint")), "yaml", (0,)),
        Tool("check-jsonschema", checker, "yaml", (0, 1), takes_files=True),
        Tool("script", (python, script), "yaml", (0, 1)),
    ]


def floor(environment: Environment) -> Tool:
    return Tool("read and hash", (str(environment.ours / "python"), "-I", str(HERE / "floor.py")), "vrx", (0,))


def measure(tool: Tool, library: Path, output: Path, home: Path, limit: float, kind: str = "") -> tuple[Run, str]:
    """Run a tool once over a library, its report left in `output`; what it took, and what it said beside its report.

    Raises StoppedError where it takes longer than `limit` seconds, and stops the benchmark where it fails.
    """
    folder, listing = library / tool.reads, "-"
    arguments = [str(folder), kind] if tool.name == "script" else [str(folder)] if tool.reads else []
    if tool.takes_files:
        arguments, listing = [], str(_listing(folder))
    starter = [sys.executable, "-I", "-S", str(HERE / "measure.py"), str(output), str(limit), listing]
    clean = {"HOME": str(home), "PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"}
    done = subprocess.run(
        [*starter, *tool.command, *arguments], env=clean, cwd=folder, capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        fail(f"{tool.name} could not be started: {done.stderr.strip()[-500:]}")
    took = json.loads(done.stdout)
    if took["stopped"]:
        raise StoppedError(f"stopped after {limit:.0f} s")
    if not set(took["exits"]) <= set(tool.fine):
        fail(f"{tool.name} ended with exit code {took['exits']}: {done.stderr.strip()[-500:]}")
    report = output.stat().st_size
    return Run(took["wall"], took["processor"], took["peak"], report, len(took["exits"])), done.stderr


def _listing(folder: Path) -> Path:
    """A file beside the library that lists its files, made once."""
    listing = folder.parent / f"{folder.name}.txt"
    if not listing.exists():
        names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob(f"*.{folder.name}"))
        listing.write_text("".join(f"{name}\n" for name in names), encoding="utf-8")
    return listing


def check_report(tool: Tool, output: Path, documents: int, library: Path) -> int:
    """Stop the benchmark unless a tool's report shows that it took every document; how much it found."""
    program = tool.name.partition(" ")[0]
    if program == "yamllint":  # it reports nothing of files that are in order: it is asked what it would take
        taken = _run(Path(tool.command[0]), tool.command[1], "--list-files", str(library / tool.reads)).count("\n")
        found = 0
    elif program == OURS and output.stat().st_size > LARGE:
        taken, found = _of_summary(output)
    else:
        reports = list(_json_values(output))
        taken, found = _COUNTS[program](reports)
    if taken != documents:
        fail(f"{tool.name} took {taken} of {documents} documents")
    return found


def _json_values(output: Path) -> Iterable[Any]:
    text, decoder, at = output.read_text("utf-8"), json.JSONDecoder(), 0
    while at < len(text):
        try:
            value, at = decoder.raw_decode(text, at)
        except json.JSONDecodeError:
            fail(f"the report {output.name} is not JSON; it starts with {text[:200]!r}")
        yield value
        at += len(text[at:]) - len(text[at:].lstrip()) if text[at : at + 1].isspace() else 0


def _of_rxlint(reports: Sequence[Any]) -> tuple[int, int]:
    (report,) = reports
    read = [each for each in report["documents"] if not each["problems"]]
    return len(read), sum(len(each["findings"]) for each in read)


def _of_summary(output: Path) -> tuple[int, int]:
    """By the count at the end of a report that is too large to be read as a whole."""
    with output.open("rb") as file:
        file.seek(-TAIL, os.SEEK_END)
        tail = file.read().decode("utf-8", "replace")
    _, found, rest = tail.rpartition('"summary":')
    if not found:
        fail(f"the report {output.name} has no summary at its end")
    summary = json.JSONDecoder().raw_decode(rest.lstrip())[0]
    return summary["documents"] - summary["unread"] - summary["not_screened"], sum(summary["levels"].values())


def _of_checker(reports: Sequence[Any]) -> tuple[int, int]:
    fine = sum(len(each.get("checked_paths") or each.get("successes", ())) for each in reports)
    wrong = {error["filename"] for each in reports for error in each["errors"]}
    return fine + len(wrong), sum(len(each["errors"]) for each in reports)


def _of_script(reports: Sequence[Any]) -> tuple[int, int]:
    return reports[-1]["documents"], reports[-1]["errors"]


_COUNTS = {OURS: _of_rxlint, "check-jsonschema": _of_checker, "script": _of_script}
