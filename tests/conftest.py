"""What every test may use: hypothesis profiles and a command line that nothing outside the test can sway.

`RXLINT_EXAMPLES=2000 pytest` tries that many examples a property instead of the modest number used by default.
"""

import atexit
import contextlib
import os
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import HealthCheck, settings

ROOT = Path(__file__).resolve().parent.parent

# What the program keeps between runs is kept for this run of the tests alone, and shared by its processes.
if "RXLINT_CACHE" not in os.environ:
    os.environ["RXLINT_CACHE"] = tempfile.mkdtemp(prefix="rxlint-tests-")
    atexit.register(shutil.rmtree, os.environ["RXLINT_CACHE"], ignore_errors=True)

# Shared helpers are imported as `tests.…`. At the end of the path, so that an installed rxlint comes before the
# checkout's and the tests test what is installed.
sys.path.append(str(ROOT))

_EXAMPLES = int(os.environ.get("RXLINT_EXAMPLES", "60"))

# A slow shared machine must not fail a property for its time; the benchmarks watch time.
settings.register_profile(
    "here", max_examples=_EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
# In CI the same examples every time: a change fails for what it did, not for its luck.
settings.register_profile("ci", settings.get_profile("here"), derandomize=True, database=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")

RunCli = Callable[..., Result]


@pytest.fixture
def run_cli(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> RunCli:
    """Call the command line in this process: `run_cli("screen", path, input=b"...", cwd=folder)`.

    The environment holds only what is given here, the home folder is new and empty, there is no terminal and no colour,
    and the current folder is `cwd` or else the test's own. The result has `exit_code`, `stdout` and `stderr`; an
    exception that the command lets through is raised in the test.
    """
    home = tmp_path_factory.mktemp("home")
    passed = {
        name: os.environ[name]
        for name in ("PATH", "SYSTEMROOT", "TMPDIR", "TEMP", "RXLINT_CACHE")
        if name in os.environ
    }
    clean = passed | {"HOME": str(home), "USERPROFILE": str(home), "LC_ALL": "C.UTF-8", "TZ": "UTC"}

    def run(*arguments: str | Path, input: str | bytes | None = None, cwd: Path | None = None) -> Result:
        from rxlint.cli import main
        from rxlint.store import results

        kept = f"results-of-{os.getpid()}.sqlite"  # of this call alone: another test may have changed the program
        with monkeypatch.context() as patch, contextlib.chdir(cwd or tmp_path):
            for name in list(os.environ):
                patch.delenv(name)
            for name, value in clean.items():
                patch.setenv(name, value)
            patch.setattr(results, "NAME", kept)
            try:
                return CliRunner().invoke(main, list(map(str, arguments)), input, catch_exceptions=False)
            finally:
                for path in Path(os.environ["RXLINT_CACHE"]).glob(f"{kept}*"):
                    path.unlink()

    return run
