"""People: who can do what, the smallest crew at each takt, cover for absence, and what to train next."""
