"""One cylinder on the bench, pure: what the log says of it, and what the tables make of that."""
