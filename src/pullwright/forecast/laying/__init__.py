"""From a line to the arrays that a run is made from."""
