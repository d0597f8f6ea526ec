"""Everything the tool computes and searches, against what others published and other ways to work it out.

`python -m tests.validation --write` renews docs/validation.md. What takes minutes is stored in figures/ as data
that the page reads: `--measure` works it out anew, and a slow test does so with a tenth of it.
"""
