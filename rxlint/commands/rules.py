"""``rxlint rules`` and ``rxlint test-pack``: rules shown, and packs reviewed for their authors."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from rxlint.commands.common import (
    EXIT_CLEAN,
    EXIT_FINDINGS,
    EXIT_UNREAD,
    Configuration,
    known_rule,
    named_rules,
    rulings_of,
    shown,
    with_packs,
    with_policies,
    with_python,
    write,
)
from rxlint.commands.completion import rule_ids


@click.command()
@click.argument("rule", required=False, shell_complete=rule_ids)
@with_packs
@with_policies
@with_python
def rules(
    rule: str | None, pack_files: tuple[str, ...], policy_files: tuple[str, ...], python_names: tuple[str, ...]
) -> None:
    """List the rules, or show one rule's page."""
    from rxlint.reports.rule_page import rule_list, rule_page

    ready = rulings_of(pack_files, policy_files, python_names, nearest=False).base
    for failure in ready.unloaded:
        click.echo(f"the Python rules {shown(failure.name)} {shown(failure.error)}", err=True)
    if rule is None:
        write(rule_list(ready.all_rules))
    else:
        known = known_rule(rule, ready)
        asked = (ready.must_check[rule],) if rule in ready.must_check else ()
        write(rule_page(known, (*ready.origins.get(rule, ()), *asked)))
    sys.exit(EXIT_UNREAD if ready.unloaded else EXIT_CLEAN)


@click.command("test-pack")
@click.argument("pack_files", metavar="PACK...", nargs=-1, type=click.Path())
@with_python
def test_pack(pack_files: tuple[str, ...], python_names: tuple[str, ...]) -> None:
    """Review packs for their authors: run their cases, and find cases and rules that say nothing.

    Exit code: 0 nothing found, 1 cases that fail or remarks, 2 a pack that can't be used, 3 Python rules that could
    not be loaded. What can't be told is shown, and is no fault.
    """
    from rxlint.reports.review import review_lines
    from rxlint.screening.pack_review import review
    from rxlint.screening.ruleset import ConflictError

    python = named_rules(python_names)
    packs = [*_packs_of(pack_files), *python.packs]
    if not packs and not python.failures:
        raise click.UsageError("name a pack, or --python-rules")
    sound = True
    for pack in packs:
        try:
            found = review(pack)
        except ConflictError as error:
            raise Configuration(shown(str(error))) from None
        sound = sound and found.is_sound
        write(review_lines(found))
    for failure in python.failures:
        click.echo(f"the Python rules {shown(failure.name)} {shown(failure.error)}", err=True)
    sys.exit(EXIT_UNREAD if python.failures else EXIT_CLEAN if sound else EXIT_FINDINGS)


def _packs_of(files: tuple[str, ...]) -> list[Any]:
    """The packs of some files; each may refer to the built-in ones and to those before it."""
    from rxlint.packs.builtin import builtin_packs
    from rxlint.packs.load import load_pack

    packs: list[Any] = []
    faults: list[str] = []
    for file in files:
        pack, problems = load_pack(Path(file), file, (*builtin_packs(), *packs))
        faults += [shown(str(each)) for each in problems]
        if pack is not None:
            packs.append(pack)
    if faults:
        raise Configuration("\n".join(["a rule pack can't be used:", *faults]))
    return packs
