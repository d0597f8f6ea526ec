"""Tests of balancer/engine, file by file."""
