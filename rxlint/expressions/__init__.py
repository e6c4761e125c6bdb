"""The expression language of rule packs and `keep` lines: reading, types, exact and compiled evaluation, outcomes.

`read_condition` and `read_number` take text and names to a checked node; `evaluate` works it out slowly and exactly,
`compile_condition` and `compile_number` make it fast, and `decide` says whether a requirement holds for everything that
a document allows. Derived terms, functions and the vocabulary are passed in: what a term means in a prescription is not
known here.
"""

from rxlint.expressions.compile import (
    CompiledCondition,
    CompiledNumber,
    compile_condition,
    compile_number,
    evaluate_condition,
    evaluate_number,
)
from rxlint.expressions.decide import AtPoint, Common, Decision, Outcome, at_point, decide
from rxlint.expressions.exact import condition, evaluate, number
from rxlint.expressions.names import BoolType, Function, ListType, Names, NumberType, TextType, Type, WordsType
from rxlint.expressions.nodes import Node, children, keys_in, walk
from rxlint.expressions.parse import Parsed, parse
from rxlint.expressions.problems import Problem
from rxlint.expressions.show import Step, show, trace
from rxlint.expressions.space import Axis, PointEnvironment, Space
from rxlint.expressions.types import Checked, check, read_condition, read_number
from rxlint.expressions.values import CLOSE, UNREADABLE, Environment, Item, Missing, Value, Words

__all__ = [
    "CLOSE",
    "UNREADABLE",
    "AtPoint",
    "Axis",
    "BoolType",
    "Checked",
    "Common",
    "CompiledCondition",
    "CompiledNumber",
    "Decision",
    "Environment",
    "Function",
    "Item",
    "ListType",
    "Missing",
    "Names",
    "Node",
    "NumberType",
    "Outcome",
    "Parsed",
    "PointEnvironment",
    "Problem",
    "Space",
    "Step",
    "TextType",
    "Type",
    "Value",
    "Words",
    "WordsType",
    "at_point",
    "check",
    "children",
    "compile_condition",
    "compile_number",
    "condition",
    "decide",
    "evaluate",
    "evaluate_condition",
    "evaluate_number",
    "keys_in",
    "number",
    "parse",
    "read_condition",
    "read_number",
    "show",
    "trace",
    "walk",
]
