"""One module a command: read options, load, call one engine function, hand the result to an output.

At the top they import typer and nothing of ours that computes or reads files, so that --help answers at
once; each command imports what it needs when it runs.
"""
