"""Answers on a terminal: the first line is the answer."""
