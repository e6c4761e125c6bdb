"""One target under atheris, in a process of its own: `python -m tests.fuzz.guided TARGET KEPT CORPUS SECONDS SEED`.

atheris sees which branches of rxlint an input reaches and keeps those inputs that reach new ones. It ends the process
itself, so that what was seen stands in the file KEPT.
"""

from __future__ import annotations

import sys
from pathlib import Path

import atheris

_EACH_MB = 4096  # of memory, at which atheris gives up; the bound of the target is told long before
_HANGING = 300  # seconds for one input, at which it gives up; on a machine that pauses us that may be no fault


def main(name: str, kept: str, corpus: str, seconds: str, seed: str) -> None:
    """Never returns."""
    with atheris.instrument_imports(include=["rxlint"]):
        from tests.fuzz.measured import Watch
        from tests.fuzz.targets import TARGETS

        target = TARGETS[name]
        for path in sorted(Path(corpus).glob("seed-*"))[:40]:  # what is imported late must be seen too
            Watch(target)(path.read_bytes())
    watch = Watch(target, Path(kept))
    options = [
        f"-max_total_time={seconds}",
        f"-max_len={target.longest}",
        f"-seed={seed}",
        f"-rss_limit_mb={_EACH_MB}",
        f"-timeout={_HANGING}",
        f"-report_slow_units={_HANGING}",  # the watch tells them
        f"-artifact_prefix={Path(corpus).parent}/",
        f"-dict={Path(corpus).parent / 'words.dict'}",
        "-print_final_stats=1",
        "-reload=0",
    ]
    atheris.Setup([sys.argv[0], *options, corpus], watch)
    atheris.Fuzz()


if __name__ == "__main__":
    main(*sys.argv[1:])
