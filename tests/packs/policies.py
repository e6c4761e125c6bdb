"""Policies of tests, and orders to screen under them."""

from rxlint.notation.document import read_document
from rxlint.packs import Pack, load_text
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.stack import Stack, stack
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.ruleset import prepare_stack
from rxlint.text import Problem, source_of_text

HEAD = "pack: {name}\nrevision: 2\nsummary: a policy of a test\nuses: [{uses}]\n"


def text_of(body: str, name: str = "trial-policy", uses: str = "pressure, alarms, mode") -> str:
    return HEAD.format(name=name, uses=uses) + body


def row(kind: str, fields: str, identifier: str = "site.one", level: str = "query") -> str:
    """A list with one row; ``fields`` are separated by ``;``."""
    lines = [f"  - id: {identifier}", f"    level: {level}", "    source: a test"]
    lines += [f"    {each.strip()}" for each in fields.split(";")]
    return f"{kind}:\n" + "\n".join(lines) + "\n"


def faults(body: str, **fields: str) -> list[str]:
    """What loading says of a policy; empty where it loads."""
    pack, problems = load_text(text_of(body, **fields), "p.yaml")
    assert (pack is None) == bool(problems)
    return [str(each).removeprefix("p.yaml:") for each in problems]


def policy(
    body: str, name: str = "trial-policy", wider: tuple[Pack, ...] = (), uses: str = "pressure, alarms, mode"
) -> Pack:
    pack, problems = load_text(text_of(body, name, uses), f"{name}.yaml", (*builtin_packs(), *wider))
    assert pack is not None, "\n".join(map(str, problems))
    return pack


def stacked(policies: tuple[Pack, ...], above: tuple[Pack, ...] = (), packs: tuple[Pack, ...] | None = None) -> Stack:
    made, problems = stack(builtin_packs() if packs is None else packs, policies, above)
    assert made is not None, "\n".join(map(str, problems))
    return made


def screened(text: str, *policies: Pack, above: tuple[Pack, ...] = (), alone: bool = True) -> Screening:
    """A document under policies; ``alone`` leaves out the built-in rules."""
    source = source_of_text(text)
    assert not isinstance(source, Problem)
    packs = () if alone else builtin_packs()
    return screen_document(read_document(source), prepare_stack(stacked(policies, above, packs)))


def order(*lines: str) -> str:
    """A prescription; a line that begins with ``+`` is a heading."""
    return "\n".join(['prescription "x"', *(each[1:] if each[0] == "+" else f"  {each}" for each in lines)]) + "\n"
