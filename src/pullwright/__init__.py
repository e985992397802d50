"""Pullwright: the workbench for the person who runs and improves production in a small factory."""

__version__ = "0.1.0"
