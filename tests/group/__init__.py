"""The logs of a group of bars, made up: what the how-to page, its test and its benchmark fold and chart."""
