"""Invented demo data: rules of the Tarnmoor Breathing Support Service that no YAML pack can say. A model to copy.

The service's ventilators are set in steps. Whether a value lies on a step needs a remainder, and there are several
settings to look at, each with a finding of its own.
"""

from collections.abc import Iterator
from typing import Final

from rxlint.extension import PythonFinding, PythonPack, PythonRule, View, amount, fires, holds, silent

# The setting, the unit that the ventilators show it in, and the step between two values that can be set.
STEPS: Final = (
    ("PEEP", "cmH2O", amount(1, "cmH2O")),
    ("inspiratory pressure", "cmH2O", amount(1, "cmH2O")),
    ("inspiratory time", "s", amount("0.05", "s")),
)


def uses_the_ventilators(view: View) -> bool:
    """The ventilators are used at home alone; where the place of care is not stated, this can't be checked."""
    return "home" in view.words("patient place of care")


def check_steps(view: View) -> Iterator[PythonFinding]:
    for term, unit, step in STEPS:
        if not view.has_value(term):
            continue
        value = view.number(term)
        below = value // step * step
        if value != below:
            near = " or ".join(view.show(each, unit) for each in (below, below + step))
            told = f"{term} {view.tell(term)} can't be set on the service's ventilators: {near} can"
            yield PythonFinding(told, at=(term,), worked_out=(f"step {view.show(step, unit)}",))


PACK: Final = PythonPack(
    name="tarn",
    revision=1,
    summary="What the service's ventilators can be set to",
    rules=(
        PythonRule(
            id="tarn.between-steps",
            level="query",
            basis="practice",
            title="A setting lies between two steps of the ventilator",
            because="Whoever sets the ventilator has to choose one of the two values, and nobody has said which.",
            source="common practice, no published source: Tarnmoor equipment list (invented)",
            applies=uses_the_ventilators,
            check=check_steps,
            cases=(
                fires("patient place of care home; PEEP 5.5 cmH2O"),
                fires("patient place of care home; mode A/C-PC; inspiratory time 1.12 s"),
                holds("patient place of care home; PEEP 5 cmH2O; inspiratory time 1.15 s"),
                holds("patient place of care home"),
                silent("patient place of care ward; PEEP 5.5 cmH2O"),
                silent("PEEP 5.5 cmH2O"),
            ),
        ),
    ),
)
