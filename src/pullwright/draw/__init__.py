"""Pictures: pure functions from plain values to SVG text."""
