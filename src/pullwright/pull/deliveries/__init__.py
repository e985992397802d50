"""Deliveries: what comes at once against the room for it, what is carried away and back, and the cheapest rhythm."""
