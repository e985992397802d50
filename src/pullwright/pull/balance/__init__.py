"""Balance: which elements of the work go to which post, so that each post keeps the takt."""
