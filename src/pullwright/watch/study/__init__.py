"""Time studies: elements timed cycle by cycle with a stopwatch, and what they say about the work."""
