"""A folder of documents and rules at which somebody works in a page, and everything that the page asks of it.

The files lie in a real folder. Every change is told here, so that nothing has to be looked for; a text that is being
written goes to the disk when something reads it from there.
"""

from __future__ import annotations

import datetime
import time
from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final, TypeVar

from rxlint import __version__
from rxlint.editor.actions import actions, layout
from rxlint.editor.completion import completions
from rxlint.editor.diagnostics import summary
from rxlint.editor.hover import hover
from rxlint.editor.shapes import Completion, Edit, Hover, Mark, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.tokens import tokens
from rxlint.editor.workspace import Workspace, settle
from rxlint.editor.yaml_completion import yaml_completions
from rxlint.editor.yaml_files import YamlFile
from rxlint.editor.yaml_hover import yaml_hover
from rxlint.library.places import NAME
from rxlint.library.rulings import Rulings
from rxlint.notation.tree import Place
from rxlint.packs import Rule
from rxlint.page import shapes as s
from rxlint.page import views
from rxlint.page.cards import UNREAD, card_of_mark, cards_of, counts_of, edit_of, edits_of, span_of
from rxlint.page.files import File, Refused, bytes_of, cleaned, kind_of, told_of, unreadable
from rxlint.page.kept import KeptFiles
from rxlint.page.rules import checks_of_rules, holds, named_by, settings_for, title_of
from rxlint.reports.caution import CAUTION
from rxlint.reports.rule_markdown import rule_markdown
from rxlint.reports.text import policies_told
from rxlint.reports.totals import Totals
from rxlint.screening.ruleset import RuleSet
from rxlint.text import Problem, printable

_T = TypeVar("_T")
_NOT_OURS: Final = "Neither a document nor a file of rules: nothing is checked in it."
_REMEMBERED: Final = 16  # documents of which what was worked out is kept; each takes about a megabyte


class Desk:
    """A folder at which somebody works, and the day that dates are judged on.

    Whoever asks sees to it that the folder is the current one (``asked.Asked`` does): files are named as seen from it.
    Every method raises Refused, with a reason in plain words, for what can't be done.
    """

    def __init__(self, folder: Path, day: datetime.date) -> None:
        self.folder = folder.resolve()
        self.day = day
        self._files = KeptFiles(self.folder)
        self._recent: OrderedDict[str, None] = OrderedDict()
        self._base = Rulings()
        self._named: frozenset[Path] | None = None
        self._by_id: tuple[RuleSet, Mapping[str, Rule]] | None = None
        self._settled = 0
        self._workspace = Workspace(self._base.anew, day, is_told=True)
        self._workspace.set_folders([self.folder])

    # ---- files

    def set_day(self, day: str) -> s.Affected:
        """Judge dates on another day."""
        try:
            found = datetime.date.fromisoformat(day)
        except ValueError:
            found = None
        if found is None or found.isoformat() != day:
            raise Refused(f"{printable(day)} is not a date such as 2026-11-24")
        self.day = found
        self._workspace.set_day(found)
        return self._affected(self._files.of_kind("document"))

    def take(self, files: Sequence[Mapping[str, str]]) -> s.Taken:
        """Take files in, their bytes as they are."""
        found: list[s.FileState] = []
        kept: list[str] = []
        for each in files:
            path = each["path"]
            try:
                path = cleaned(path)
                file = self._files.take(path, bytes_of(each["base64"]))
            except Refused as refused:
                found.append(unreadable(printable(path), kind_of(path), str(refused)))
                continue
            kept.append(path)
            found.append(file.state(path))
        affected = self._known(kept)
        self._settle()
        return {"files": found, "affected": self._affected(affected)["paths"]}

    def put(self, path: str, text: str) -> s.Affected:
        """A file says this now. The files that may come out otherwise, itself among them."""
        path = cleaned(path)
        if not self._files.put(path, text):
            return {"paths": []}
        return self._affected(self._known([path]))

    def remove(self, paths: Sequence[str]) -> s.Affected:
        """Take files out of the folder. Nothing is removed where one of them is not there."""
        for path in paths:
            self._files[path]
        affected: set[str] = set()
        for path in dict.fromkeys(paths):
            affected |= self._without(path)
        return self._affected(affected)

    def rename(self, path: str, to: str) -> s.Affected:
        """Give a file another name."""
        to = self._files.copy(path, to)
        affected = self._without(path)
        return self._affected(affected | self._known([to]))

    # ---- while a text is written

    def look(self, path: str) -> s.Look:
        """Everything that is told of a text as it stands."""
        begun = time.perf_counter()
        file = self._files[path]
        found: s.Look = {
            "path": path,
            "kind": file.kind,
            "findings": [],
            "counts": counts_of(()),
            "checks": {"state": "no document", "made": 0, "wanting": 0, "failed": 0, "told": ""},
            "policies": [],
            "seconds": 0.0,
        }
        if isinstance(file.text, Problem):
            self._look_unread(file, file.text, found)
        elif file.kind == "document":
            self._look_document(self._snapshot(path), found)
        elif file.kind == "rules":
            self._look_rules(path, file.text, found)
        else:
            found["checks"]["told"] = _NOT_OURS
        found["counts"] = counts_of(found["findings"])
        found["seconds"] = time.perf_counter() - begun
        return found

    def colours(self, path: str) -> s.Colours:
        """What each stretch of a document is; nothing of other files."""
        snapshot = self._snapshot_of(path)
        if snapshot is None:
            return {"tokens": []}
        return {
            "tokens": [
                {
                    "line": each.place.line,
                    "column": each.place.column,
                    "end_column": each.place.end_column,
                    "kind": each.kind,
                }
                for each in tokens(snapshot)
            ]
        }

    def offers(self, path: str, line: int, column: int) -> s.Offers:
        """What may be written at a place."""
        position = Position(line, column)
        found = self._of_text(
            path, lambda each: completions(each, position), lambda each: yaml_completions(each, position)
        )
        return {"offers": [_offered(each) for each in found or ()]}

    def hover(self, path: str, line: int, column: int) -> s.Told | None:
        """What is told of a place."""
        position = Position(line, column)
        found: Hover | None = self._of_text(
            path, lambda each: hover(each, position), lambda each: yaml_hover(each, position)
        )
        return {"at": span_of(found.place), "markdown": found.markdown} if found is not None else None

    def changes(self, path: str, line: int, end_line: int) -> s.Changes:
        """What may be changed at some lines, without the corrections that stand on the cards of findings."""
        snapshot = self._snapshot_of(path)
        if snapshot is None:
            return {"changes": []}
        on_cards = set(_corrections(snapshot))
        place = Place(line, 1, max(line, end_line) + 1, 1) if line > 0 else Place(1, 1, 1, 1)
        found = [each for each in actions(snapshot, place) if set(each.edits) == {snapshot.path}]
        return {
            "changes": [
                {"title": each.title, "edits": edits_of(each.edits[snapshot.path])}
                for each in found
                if each.edits[snapshot.path] not in on_cards
            ]
        }

    def tidy(self, path: str) -> s.Tidying:
        """The edits that bring a document into its canonical layout."""
        snapshot = self._snapshot_of(path)
        return {"edits": edits_of(layout(snapshot) if snapshot is not None else ())}

    # ---- views

    def coverage(self, path: str) -> s.CoverageTable:
        """How every rule came out on a document."""
        snapshot = self._document(path)
        return views.coverage_table(snapshot, self._rules(snapshot.rules))

    def sheet(self, path: str, ventilator: str, before: str) -> s.SheetPage:
        """The checker's sheet of a document."""
        for each in (path, *([before] if before else [])):
            self._files.document(each)
        return views.sheet_page(path, ventilator, before, self._on_disk(), self.day)

    def ventilators(self, path: str) -> s.Ventilators:
        """The ventilators that a document may be keyed in at."""
        return views.ventilators(self._document(path))

    def setup(self, path: str, ventilator: str, period: str) -> s.SetupText:
        """The set-up list of a prescription."""
        self._files.document(path)
        return views.setup_list(path, ventilator, period, self._on_disk(), self.day)

    def compare(self, old: str, new: str) -> s.ComparedText:
        """What changed between two revisions."""
        for each in (old, new):
            self._files.document(each)
        return views.compared_text(old, new, self._on_disk(), self.day)

    def report(self, form: str) -> s.ReportText:
        """A report of every document of the folder, as the command line writes it."""
        return {"text": views.report_text(form, self._on_disk(), self.day)}

    def values(self, path: str) -> s.ValuesText:
        """Every value that a document implies."""
        self._files.document(path)
        self._files.flush()
        return {"text": views.values_text(path)}

    # ---- rules

    def rule(self, rule: str) -> s.RulePage:
        """What there is to know of a rule, under whatever holds in a folder of the documents."""
        rulings = self._on_disk()
        folders = dict.fromkeys((self.folder / each).parent for each in self._files.of_kind("document"))
        sets = [rulings.of_folder(each).rules for each in folders]
        for each in (*sets, rulings.base):
            known = self._rules(each).get(rule) if each is not None else None
            if known is not None and each is not None:
                return {"markdown": rule_markdown(known, each.origins.get(rule))}
        raise Refused(f"there is no rule {printable(rule)}")

    def settings(self) -> s.SettingsText:
        """Settings that would name the files of rules which hold for nothing yet."""
        named = self._named_files()
        read = [(path, self._yaml(path, text)) for path in sorted(self._files.of_kind("rules"))
                if isinstance(text := self._files[path].text, str)]  # fmt: skip
        unnamed = [(path, each.kind) for path, each in read if each.kind is not None and not holds(each, named)]
        return settings_for(unnamed, is_there=NAME in self._files)

    def about(self) -> s.About:
        """What runs here."""
        rules = self._base.base
        self._settle()
        return {
            "version": __version__,
            "rules": len(rules.all_rules),
            "packs": len(rules.packs),
            "caution": CAUTION,
        }

    # ---- what is behind

    def _look_unread(self, file: File, problem: Problem, found: s.Look) -> None:
        if file.kind == "other":
            found["checks"]["told"] = _NOT_OURS
            return
        line, column = problem.line or 1, problem.column or 1
        place = Place(line, column, line, column + 1)
        card = card_of_mark(Mark(place, "reject", printable(problem.message)), UNREAD)
        found["findings"].append(card)
        found["checks"]["state"] = "unread"
        found["checks"]["told"] = f"Not screened: {told_of(problem)}"

    def _look_document(self, snapshot: Snapshot, found: s.Look) -> None:
        screened = snapshot.screened
        totals = Totals()
        totals.add(screened)
        found["findings"] = cards_of(snapshot, self._rules(snapshot.rules), self._files.shown)
        state: s.ScreenState = (
            "not screened" if screened.misconfigured else "unread" if screened.problems else "screened"
        )
        found["checks"] = {
            "state": state,
            "made": totals.made,
            "wanting": totals.wanting,
            "failed": totals.crashes,
            "told": summary(snapshot),
        }
        found["policies"] = [printable(each) for each in policies_told(screened.policies)]

    def _look_rules(self, path: str, text: str, found: s.Look) -> None:
        file = self._yaml(path, text)
        marks = self._workspace.marks_of_rules(file.path, text)
        found["findings"] = [card_of_mark(each, title_of(each)) for each in marks]
        found["checks"] = checks_of_rules(file, self._named_files(), sum(each.level == "reject" for each in marks))

    def _document(self, path: str) -> Snapshot:
        file = self._files.document(path)
        if isinstance(file.text, Problem):
            raise Refused(f"{printable(path)} could not be read: {told_of(file.text)}")
        return self._snapshot(path)

    def _snapshot(self, path: str) -> Snapshot:
        """A document as it stands; of the least recent ones, what was worked out is let go."""
        text = self._files[path].text
        assert isinstance(text, str)
        self._recent[path] = None
        self._recent.move_to_end(path)
        if len(self._recent) > _REMEMBERED:
            self._workspace.let_go(self.folder / self._recent.popitem(last=False)[0])
        return self._workspace.snapshot(self.folder / path, text)

    def _snapshot_of(self, path: str) -> Snapshot | None:
        """A document as it stands; None for any other file, and one that can't be read."""
        file = self._files[path]
        return self._snapshot(path) if file.kind == "document" and isinstance(file.text, str) else None

    def _yaml(self, path: str, text: str) -> YamlFile:
        return self._workspace.yaml_file(self.folder / path, text)

    def _of_text(
        self, path: str, of_document: Callable[[Snapshot], _T], of_rules: Callable[[YamlFile], _T]
    ) -> _T | None:
        file = self._files[path]
        if not isinstance(file.text, str) or file.kind == "other":
            return None
        return of_document(self._snapshot(path)) if file.kind == "document" else of_rules(self._yaml(path, file.text))

    def _rules(self, rules: RuleSet) -> Mapping[str, Rule]:
        if self._by_id is None or self._by_id[0] is not rules:
            self._by_id = (rules, views.rules_by_id(rules))
        return self._by_id[1]

    def _named_files(self) -> frozenset[Path]:
        """The files that some settings of the folder name; found anew when a file that is no document has changed."""
        if self._named is None:
            settings = [self.folder / path for path in self._files.of_kind("rules") if Path(path).name == NAME]
            self._named = named_by(settings, self._base.anew())
        return self._named

    def _affected(self, paths: Iterable[str]) -> s.Affected:
        return {"paths": sorted(path for path in set(paths) if path in self._files)}

    def _settle(self) -> None:
        """Keep rules that were made since the last time out of the search for garbage."""
        if self._settled != self._workspace.made:
            self._settled = self._workspace.made
            settle()

    # ---- the folder

    def _known(self, paths: Sequence[str]) -> set[str]:
        """Tell the workspace of files that were written. The documents that may come out otherwise."""
        affected: set[str] = set(paths)
        others = [each for each in paths if not self._is_text(each)]
        if others:
            self._named = None
            affected |= self._files.of_kind("rules")  # they may refer to one another
            for each in others:
                self._workspace.drop(self.folder / each)
            affected |= self._names(self._workspace.changed(self.folder / each for each in others))
        for each in paths:
            text = self._files[each].text
            if self._is_text(each) and isinstance(text, str):
                affected |= self._names(self._workspace.put(self.folder / each, text))
        return affected

    def _is_text(self, path: str) -> bool:
        """Whether a file is a document that is laid over the folder as it is written."""
        file = self._files[path]
        return file.kind == "document" and isinstance(file.text, str)

    def _names(self, paths: Iterable[Path]) -> set[str]:
        return {self._files.shown(each) for each in paths}

    def _without(self, path: str) -> set[str]:
        """Take a file away. The files that may come out otherwise."""
        where = self._files.where(path)
        kind = self._files.remove(path).kind
        self._recent.pop(path, None)
        affected = self._names(self._workspace.drop(where))
        affected |= self._names(self._workspace.changed([where]))
        if kind != "document":
            self._workspace.drop_yaml(where)
            self._named = None
            affected |= self._files.of_kind("rules")
        return affected

    def _on_disk(self) -> Rulings:
        """The rules for what reads files from the disk, where everything stands now."""
        self._files.flush()
        return self._base.anew()


def _corrections(snapshot: Snapshot) -> Iterator[tuple[Edit, ...]]:
    screening = snapshot.screened.screening
    for finding in screening.findings if screening is not None else ():
        for each in finding.corrections:
            edit = edit_of(each)
            if edit is not None:
                yield (edit,)


def _offered(found: Completion) -> s.Offered:
    return {
        "label": found.label,
        "kind": found.kind,
        "at": span_of(found.place),
        "text": found.text,
        "detail": found.detail,
        "markdown": found.markdown,
    }
