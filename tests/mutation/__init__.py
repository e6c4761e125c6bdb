"""Small faults put into `rxlint/physiology` and `rxlint/expressions`, one at a time: does a test notice each of them?

`python -m tests.mutation` makes the faults (mutants) in memory, never in the files, runs the tests that reach the
changed function until one fails, and writes tests/MUTATION.md: which share of the mutants was killed, and each survivor
with the reason kept by hand in survivors.yaml. `operators` says what is changed and how, `source` finds every mutant,
`swap` puts one into the running program, `covering` collects the tests and sees which functions each of them runs,
`trial` tries mutants in forked processes, `kept` reads the reasons, `page` writes the table.
"""
