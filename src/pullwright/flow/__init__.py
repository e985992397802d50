"""Steady-state arithmetic of a line: takt, load, waiting, the ladder, yields, indicators. All results are figures."""

from pullwright.flow.line_flow import Flow, flow_of

__all__ = ["Flow", "flow_of"]
