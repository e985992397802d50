"""What will happen: a line run many times with its variation, and what comes of it."""
