"""A finding as a result of SARIF. Paragraphs (§) are of the document that ``sarif`` names."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from rxlint.notation.tree import Place
from rxlint.packs import Level
from rxlint.reports.json_report import finding_object
from rxlint.reports.rule_markdown import on_one_line, plain
from rxlint.reports.text import details, told_level
from rxlint.screening.finding import Acceptance, Finding, Suggestion

LEVELS: Final[Mapping[Level, str]] = {"reject": "error", "query": "warning", "note": "note"}
FINGERPRINT: Final = "finding/v1"
"""Under which name a finding's own fingerprint stands: of its rule and the words of its line, so that it survives moved
lines, with a number that tells twins apart."""
_KNOWN: Final = "On the list of findings that were known when the library began to be screened."
_OWN: Final = ("outcome", "calculation", "corrections", "example", "sound", "period", "band", "policy", "also")

Artifact = Callable[[str | None], dict[str, Any]]
"""The artifact of a place's file; None stands for the document itself."""


def result_object(finding: Finding, rule: int | None, artifact: Artifact) -> dict[str, Any]:
    """A finding as a result; ``rule`` is the index of its rule in the table of rules."""
    return {
        "ruleId": finding.rule,
        **({"ruleIndex": rule} if rule is not None else {}),
        "level": LEVELS[finding.level],
        "message": _message(finding),
        "locations": [location(artifact(None), region(finding.place))],
        "relatedLocations": [
            {
                "id": number,
                **location(artifact(each.place.file), region(each.place)),
                "message": {"text": plain_message(each.message)},
            }
            for number, each in enumerate(finding.related, 1)
        ],
        "partialFingerprints": {FINGERPRINT: finding.fingerprint},
        "suppressions": _suppressions(finding, artifact),
        "fixes": _fixes(finding, artifact),
        "properties": _properties(finding),
    }


def location(artifact: dict[str, Any], area: dict[str, int] | None) -> dict[str, Any]:
    """A place in an artifact; without an area the whole of it."""
    return {"physicalLocation": {"artifactLocation": artifact, **({"region": area} if area is not None else {})}}


def region(place: Place) -> dict[str, int]:
    """A place as SARIF counts (§3.30): lines and columns from 1, the end column after the last character."""
    return {
        "startLine": place.line,
        "startColumn": place.column,
        "endLine": place.end_line,
        "endColumn": place.end_column,
    }


def plain_message(text: str) -> str:
    """A plain text message on one line. Nothing in it is a link (§3.11.6) or a placeholder (§3.11.5), or changes how it
    is shown.
    """
    return on_one_line(text).replace("](", "] (").replace("{", "{{").replace("}", "}}")


def _message(finding: Finding) -> dict[str, str]:
    """What is found, then the calculation and the corrections: a line each, as many viewers show the message alone."""
    settled = "" if finding.counts else f"{told_level(finding)}: "
    told = [(label, text) for label, text in details(finding)]
    lines = [plain_message(settled + finding.message), *(f"{label}: {plain_message(text)}" for label, text in told)]
    marked = [marked_message(settled + finding.message), ""]
    marked += [f"- {label}: {marked_message(text)}" for label, text in told]
    return {"text": "\n".join(lines), "markdown": "\n".join(marked).rstrip()}


def marked_message(text: str) -> str:
    """Text of a document on one line of Markdown, of which nothing is read as Markdown or as a placeholder. An address
    is no link, with or without its scheme.
    """
    bare = plain(text).replace("://", "\\://").replace("www.", "www\\.")
    return bare.replace("{", "{{").replace("}", "}}")


def _suppressions(finding: Finding, artifact: Artifact) -> list[dict[str, Any]]:
    """Why a finding does not count. An empty list says that it does (§3.27.23)."""
    found: list[dict[str, Any]] = []
    if finding.acceptance is not None:
        found.append(_accepted(finding.acceptance, artifact))
    if finding.known:
        found.append({"kind": "external", "status": "accepted", "justification": _KNOWN})
    return found


def _accepted(acceptance: Acceptance, artifact: Artifact) -> dict[str, Any]:
    return {
        "kind": "inSource",
        "status": "accepted",
        "justification": on_one_line(acceptance.because),
        "location": location(artifact(acceptance.place.file), region(acceptance.place)),
        "properties": {"until": acceptance.until, "by": acceptance.by},
    }


def _fixes(finding: Finding, artifact: Artifact) -> list[dict[str, Any]]:
    """The corrections that are exact replacements, each a possible fix by itself (§3.55)."""
    exact = [each for each in finding.corrections if each.place is not None and each.replacement is not None]
    return [_fix(each, len(finding.corrections), artifact) for each in exact]


def _fix(suggestion: Suggestion, of: int, artifact: Artifact) -> dict[str, Any]:
    assert suggestion.place is not None
    makes = f" (makes {suggestion.makes})" if suggestion.makes else ""
    kind = "May mean" if suggestion.is_reading else "Restores the order"
    choice = f" One of {of}, none of them preferred." if of > 1 else ""
    told = f"{kind}: {suggestion.text}{makes}.{choice} To be decided by the prescriber, never to be applied unasked."
    return {
        "description": {"text": plain_message(told)},
        "artifactChanges": [
            {
                "artifactLocation": artifact(suggestion.place.file),
                "replacements": [
                    {
                        "deletedRegion": region(suggestion.place),
                        "insertedContent": {"text": suggestion.replacement},
                    }
                ],
            }
        ],
    }


def _properties(finding: Finding) -> dict[str, Any]:
    """What SARIF has no name for, as the JSON report has it; what a finding lacks is left out."""
    found = finding_object(finding)
    return {"level": finding.level, **{name: found[name] for name in _OWN if found[name]}}
