"""Activity sampling: rounds at moments drawn at random, and what share of them found which kind of work."""
