"""One run that has everything a report may have to tell, and what each format makes of it.

`python -m tests.formats --write` makes the kept reports in `tests/cases/formats` anew; look at the difference before it
is committed.
"""

import json
import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, Final

from rxlint.commands.common import status_of
from rxlint.library.screen import Screened, screen_bytes
from rxlint.packs.builtin import builtin_packs
from rxlint.reports.forms import Wanted, report_of
from rxlint.reports.report import Ending
from rxlint.reports.text import Totals
from rxlint.reports.where import STANDARD_INPUT
from rxlint.screening.engine import Crash
from rxlint.screening.finding import Acceptance
from rxlint.screening.ruleset import RuleSet, prepare
from rxlint.text import Problem
from tests.documents import DAY, pack_of, rule_text
from tests.golden import CASES

KEPT: Final = CASES / "formats"
FOLDER: Final = Path("/srv/library")  # in which the run was started; it need not be there
# Terminal escapes, markup of several kinds, a link, a placeholder, a command of a log, and a character that turns the
# order of what follows it: wherever a document can bring them into a report.
HOSTILE: Final = "\x1b[31m<b>]]>&lt;[x](http://a.example)*_`{0}%0A::error::##[error]|~~$\u202e"
_RULES: Final = (
    rule_text("PEEP >= 6 cmH2O", id="trial.note", level="note", say="PEEP is {PEEP}"),
    rule_text("expiratory time >= inspiratory time", id="trial.time", say="{expiratory time} is left to breathe out"),
    rule_text("patient weight > 3 kg", id="trial.weight", say="{patient weight}"),
)
_NAMES: Final = {
    "sarif": "report.sarif",
    "junit": "junit.xml",
    "github": "github.log",
    "gitlab": "gitlab.json",
    "checkstyle": "checkstyle.xml",
}


@cache
def rules() -> RuleSet:
    """Few rules, so that a kept report shows what it is about and stays as it is when other rules change."""
    packs = [pack for pack in builtin_packs() if pack.name in ("notation", "relation")]
    return prepare([*packs, pack_of(*_RULES)])


@cache
def run() -> tuple[Screened, ...]:
    """The results of the run."""
    return tuple(_results())


def _results() -> Iterator[Screened]:
    yield _screened("orders/sound.vrx", (CASES / "sound.vrx").read_bytes())
    slip = _screened("orders/ward 7/größe 100%.vrx", (CASES / "peep-raised-alone.vrx").read_bytes())
    yield slip
    yield _screened("./orders/../orders/can-break.vrx", (CASES / "can-break.vrx").read_bytes())
    yield _screened("orders/periods.vrx", (CASES / "periods.vrx").read_bytes())
    yield _screened(STANDARD_INPUT, (CASES / "peep-raised-alone.vrx").read_bytes())
    yield _screened("/elsewhere/broken.vrx", (CASES / "ten-broken-lines.vrx").read_bytes())
    yield _screened(f"orders/{HOSTILE}.vrx", f'prescription "{HOSTILE}"\nsettings\n  PEEP {HOSTILE}\n'.encode())
    yield settled(slip)
    yield _screened("orders/empty.vrx", b"")
    yield _screened("orders/bytes.vrx", b"\xff\x00")
    yield Screened("orders/site/a.vrx", (Problem(f"policy.yaml:3:1: {HOSTILE}"),), None, None, misconfigured=True)


def settled(slip: Screened) -> Screened:
    """A document whose one finding is accepted, and known as another; and of which a rule has failed."""
    assert slip.screening is not None
    (finding,) = slip.screening.findings
    accepted = Acceptance(finding.place, "2026-12-31", f"seen {HOSTILE}", "consultant")
    twin = replace(finding, known=True, fingerprint=f"{finding.fingerprint[:-1]}1")
    crash = Crash("trial.weight", f"RuntimeError: {HOSTILE}")
    findings = (replace(finding, acceptance=accepted), twin)
    return replace(slip, shown="settled.vrx", screening=replace(slip.screening, findings=findings, crashes=(crash,)))


def _screened(shown: str, data: bytes) -> Screened:
    return screen_bytes(shown, data, rules(), DAY)


def report(form: str, results: tuple[Screened, ...] | None = None, fail_at: str = "query") -> str:
    """A format's report of some results, of the whole run where none are given."""
    made = report_of(form, Wanted(DAY.isoformat(), fail_at, FOLDER, lambda _: rules()))
    totals = Totals()
    pieces = [*made.start()]
    for screened in run() if results is None else results:
        totals.add(screened)
        pieces += made.document(screened)
    return "".join((*pieces, *made.end(Ending(totals, [rules()], status_of(totals, fail_at)))))


def kept() -> Iterator[tuple[str, Path]]:
    """Each format with the file that its report is kept in; text and JSON have tests of their own."""
    for form, name in _NAMES.items():
        yield form, KEPT / name


def to_keep(form: str) -> str:
    """A report as it is kept: SARIF in lines that can be compared, without the rules that nothing is said of."""
    text = report(form)
    if form == "sarif":
        return json.dumps(_shortened(json.loads(text)), indent=1) + "\n"
    if form == "junit":  # a test that passed is one line like the others of its kind
        return "".join(line for line in text.splitlines(keepends=True) if "notation." not in line or "/>" not in line)
    return text


def _shortened(log: Any) -> Any:
    (found,) = log["runs"]
    for pack in found["properties"]["packs"]:
        del pack["digest"]  # changes with every change of a pack
    told = {result["ruleId"] for result in found["results"]}
    driver = found["tool"]["driver"]
    driver["rules"] = [rule for rule in driver["rules"] if rule["id"] in told]
    return log


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit("usage: python -m tests.formats --write")
    KEPT.mkdir(exist_ok=True)
    for each, path in kept():
        path.write_text(to_keep(each), "utf-8")
