"""The event kernel: a line from one moment at which something ends to the next."""
