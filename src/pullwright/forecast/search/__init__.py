"""Which is the smallest design that keeps the promises? Settings of a line tried on the same luck, with a stated confidence."""
