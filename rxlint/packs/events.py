"""Events of the screening: what the walks over a document find. Rules `found by` them turn them into findings."""

from __future__ import annotations

from collections.abc import Mapping

# Every event with the fields it carries, which a rule's message may name.
EVENTS: Mapping[str, tuple[str, ...]] = {
    "relations.unreadable": ("what", "problem"),
    "relations.broken": ("relation", "left", "right", "difference"),
    "relations.unsatisfiable": ("relation",),
    "relations.leaves-range": ("what", "value", "allowed", "example"),
    "relations.circular": ("what", "relation"),
    "modes.setting-missing": ("mode", "setting"),
    "modes.setting-unused": ("mode", "setting"),
    "modes.not-checked": ("mode",),
    "modes.back-up-incomplete": ("lacks",),
    "periods.overlap": ("first", "second", "from", "to"),
    "periods.gap": ("covered", "needed"),
    "periods.window": ("what",),
    "titration.no-limit": ("what",),
    "titration.no-condition": ("what",),
    "titration.no-progress": ("what", "step", "start", "limit"),
    "titration.unmeasured": ("what", "reading", "by"),
    "titration.leaves-range": ("what", "step", "limit", "allowed"),
    "titration.breaks-rule": ("what", "step", "value", "rule", "message"),
    "titration.contradiction": ("what", "first"),
    "alarms.off": ("what", "reason"),
    "titration.limit-reference": ("what", "stated", "needed"),
    "titration.breaks-together": ("what", "step", "value", "rule", "message"),
    "titration.crosses-alarm": ("what", "step", "value", "rule", "message"),
    "library.table-gap": ("what", "by", "gap", "why"),
    "library.table-overlap": ("what", "by", "both", "row", "others"),
    "library.table-uneven": ("what", "by", "course", "row"),
    "acceptances.unknown": ("rule", "near"),
    "acceptances.incomplete": ("rule", "lacks"),
    "acceptances.refused": ("rule", "why"),
    "acceptances.own": ("rule", "by"),
    "acceptances.expired": ("rule", "until"),
    "acceptances.worse": ("rule", "what", "accepted", "now"),
    "acceptances.unneeded": ("rule",),
}
