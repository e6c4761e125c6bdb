"""Slips in what lies around an order: its template, another order, the ventilator's profile, the settings."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from tests.slips.harness import ROOT
from tests.slips.scene import PROBLEM, SETTINGS, Scene, SceneSlip, each_line, with_line

_ORDER: Final = "orders/order.vrx"
_TEMPLATE: Final = "templates/template.vrx"
_FOLLOWED: Final = {
    "TM-0417-tracheostomy-night": "tracheostomy-night",
    "TM-0506-adult-copd-acute": "copd-acute-support",
    "TM-0508-adult-lung-protective": "lung-protective-adult",
    "TM-0513-adult-neuromuscular-night": "neuromuscular-night",
}
_ON_FELL: Final = ("TM-0417-tracheostomy-night", "TM-0508-adult-lung-protective")
_ON_HOLM: Final = ("TM-0513-adult-neuromuscular-night",)


def _example(folder: str, name: str) -> str:
    return (ROOT / "examples" / folder / name).read_text("utf-8")


_OTHERS: Final = {
    "orders/other.vrx": _example("sound", "TM-0507-adult-obesity-hypoventilation.vrx"),
    "templates/other.vrx": _example("templates", "obesity-hypoventilation-support.vrx"),
}
"""Another order with its template: in a library of one order nothing is said of a template that nobody follows."""


# ---- the library
def libraries() -> Iterator[Scene]:
    """An order beside the template that it follows."""
    for order, template in _FOLLOWED.items():
        texts = {_ORDER: _example("sound", f"{order}.vrx"), _TEMPLATE: _example("templates", f"{template}.vrx")}
        yield Scene({SETTINGS: "library: .\n", **texts, **_OTHERS}, _ORDER)


def _in_file(name: str, beginning: str, new: str, told: str, *fitting: str) -> Iterator[SceneSlip]:
    """The first line of a file that begins so says something else."""
    for scene in libraries():
        text = scene.files[name]
        at, _ = next(each_line(text, beginning))
        yield SceneSlip(scene.with_text(name, with_line(text, at, new)), told, fitting)


def template_withdrawn() -> Iterator[SceneSlip]:
    """The template is taken back, or goes into its next revision, and nobody thinks of the orders that follow it."""
    for status in ("draft", "withdrawn"):
        yield from _in_file(_TEMPLATE, "status", f"  status  {status}", status, "library.follows-not-in-force")
    yield from _in_file(_TEMPLATE, "revision", "  revision  9", "revised since", "library.follows-outdated")
    yield from _in_file(_TEMPLATE, "revision", "  revision  1", "an old copy", "library.follows-unknown")


def template_gone() -> Iterator[SceneSlip]:
    """The template is moved away, or its id is misspelt."""
    for scene in libraries():
        yield SceneSlip(scene.without(_TEMPLATE), "the template's file is gone", ("library.follows-unknown",))
    fitting = ("library.follows-unknown", "library.template-unused")
    yield from _in_file(_TEMPLATE, "id", "  id  nigth-support", "the template's id", *fitting)


def file_copied() -> Iterator[SceneSlip]:
    """A file is copied as the beginning of another, or to keep it, and both stay in the library."""
    for scene in libraries():
        for name, fitting in (
            (_TEMPLATE, ("library.follows-ambiguous", "library.repeated-id")),
            (_ORDER, ("library.repeated-id",)),
        ):
            copy = name.replace(".vrx", " (copy).vrx")
            yield SceneSlip(scene.with_text(copy, scene.files[name]), f"{copy} beside {name}", fitting)


def follows_lost() -> Iterator[SceneSlip]:
    """The order does not say any more what it follows, or is looked at away from its library."""
    for scene in libraries():
        text = scene.files[_ORDER]
        at, _ = next(each_line(text, "follows"))
        lost = scene.with_text(_ORDER, with_line(text, at))
        yield SceneSlip(lost, "the follows line is lost", ("library.template-unused",))
        yield SceneSlip(Scene({"order.vrx": text}), "the order alone", ("library.not-looked-up",))


def template_narrowed() -> Iterator[SceneSlip]:
    """A line of the template is changed under the same number: the order no longer lies within it."""
    allowed, patient = "library.outside-template", "library.outside-population"
    yield from _in_file(_TEMPLATE, "low SpO2", "  low SpO2  80 %", "an alarm of another group", allowed)
    yield from _in_file(_TEMPLATE, "age", "  age  30 to 35 years", "for another age", patient)
    added = "airway\n  cuff pressure  25 cmH2O"
    for scene in libraries():
        if "cuffed" in scene.files[_TEMPLATE] and "cuff pressure " not in scene.files[_ORDER]:
            text = scene.files[_TEMPLATE].replace("\nairway\n", f"\n{added}\n")
            yield SceneSlip(scene.with_text(_TEMPLATE, text), "a line was added", ("library.lacks-template-term",))


# ---- ventilators
def _ventilators(order: str, name: str) -> Scene:
    text = _example("sound", f"{order}.vrx")
    at, limb = next(each_line(text, "limb "))
    profiles = {f"profiles/{each}.yaml": _example("profiles", f"{each}.yaml") for each in ("fell", "holm")}
    named = with_line(text, at, limb, f'  ventilator  "{name}"')
    # without the template, of which nothing is asked here
    follows = next(each_line(named, "follows"), None)
    named = with_line(named, follows[0]) if follows is not None else named
    return Scene({SETTINGS: "profiles: [profiles]\n", _ORDER: named, **profiles}, _ORDER)


def ventilators() -> Iterator[Scene]:
    """Orders that name one of two invented ventilators and can be set on it."""
    for order in _ON_FELL:
        yield _ventilators(order, "Fell")
    for order in _ON_HOLM:
        yield _ventilators(order, "Holm")


def ventilator_of_another() -> Iterator[SceneSlip]:
    """The name of the ventilator is misspelt, or is that of the one beside it."""
    for scene in ventilators():
        text = scene.files[_ORDER]
        at, line = next(each_line(text, "ventilator "))
        own, other = ("Fell", "Holm") if "Fell" in line else ("Holm", "Fell")
        misspelt = with_line(text, at, line.replace(own, own[:2] + own[3:]))
        yield SceneSlip(scene.with_text(_ORDER, misspelt), "a letter lost", ("profile.unknown",))
        swapped = with_line(text, at, line.replace(own, other))
        if own == "Fell":  # what is set on Holm can be set on the other as well
            yield SceneSlip(scene.with_text(_ORDER, swapped), f"{other} for {own}", ("profile.",))


def line_of_the_profile_lost() -> Iterator[SceneSlip]:
    """A line of the ventilator's profile is lost when it is revised: of a circuit, a mode, a setting or an alarm."""
    for scene in ventilators():
        order = scene.files[_ORDER]
        name = "profiles/fell.yaml" if '"Fell"' in order else "profiles/holm.yaml"
        text = scene.files[name]
        for at, line in each_line(text, "- { setting: PEEP", "- { setting: [PEEP", "- { setting: trigger,",
                                  "- { alarm: low", "single with leak port:", "dual:", "A/C-VC:", "S/T-PS:",
                                  "SIMV-PC with PS:"):  # fmt: skip
            word = line.strip().strip("-{ ").split(":")[0 if ":" in line and "{" not in line else 1]
            asked = word.strip(" [").split(",")[0]
            if _names(order, asked):
                lost = scene.with_text(name, with_line(text, at))
                yield SceneSlip(lost, f"{line.strip()[:40]} (lost)", ("profile.", PROBLEM))


def _names(order: str, asked: str) -> bool:
    """Whether the order says something for this line of the profile."""
    if asked in ("A/C-VC", "S/T-PS", "SIMV-PC with PS", "dual", "single with leak port"):
        return any(line.split("  ")[-1].strip() == asked for _, line in each_line(order, "mode ", "limb "))
    return next(each_line(order, f"{asked} "), None) is not None


# ---- settings
def settings_spoilt() -> Iterator[SceneSlip]:
    """A key of the settings is misspelt, a file that they name is not there, a profile can't be read."""
    for scene in list(ventilators())[:1]:
        spoilt = (
            ("a key misspelt", SETTINGS, "profile: [profiles]\n"),
            ("a folder that is not there", SETTINGS, "profiles: [ventilators]\n"),
            ("a bracket lost", SETTINGS, "profiles: [profiles\n"),
            ("a policy that is not there", SETTINGS, "profiles: [profiles]\npolicies: [ward.yaml]\n"),
            ("a profile cut off", "profiles/fell.yaml", scene.files["profiles/fell.yaml"][:900]),
        )
        for told, name, text in spoilt:
            yield SceneSlip(scene.with_text(name, text), told, (PROBLEM,))
