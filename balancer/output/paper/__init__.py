"""Printed pages: their data, templates, fitting and typesetting."""
