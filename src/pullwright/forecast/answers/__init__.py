"""From runs to answers: how long a line takes to settle, how sure a number is, and what of its spread is luck."""
