"""The campaign: what a bar does by accident, done thousands of times by chance; `docs/reliability.md` has the figures."""
