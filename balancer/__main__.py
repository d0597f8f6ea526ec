"""`python -m balancer` is the command line."""

from balancer.cli.app import main

main()
