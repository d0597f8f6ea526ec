"""Ratios measured in one run, each printed with its limit; run by hand, not collected as tests."""
