"""What reaches each rule and each branch of it: examples, slip files, seeded slips and cases."""
