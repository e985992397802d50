"""Commands with a file of their own: each registers itself with the command line."""
