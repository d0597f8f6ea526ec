"""The campaign: what a bar does by accident, thousands of times by chance; `docs/reliability.md` has the figures."""
