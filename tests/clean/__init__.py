"""The study of clean orders: what the rules say to prescriptions that a careful prescriber would sign.

The orders are drawn from published clinical facts, not from the rules: `people` draws who is ventilated, `lung` is a
single compartment of its own, `intensive`, `masks`, `homes` and `journeys` write orders, `sense` throws away what is
not consistent. `study` screens what is left, `page` tells what came of it, `ledger` what was mended, and why.
"""
