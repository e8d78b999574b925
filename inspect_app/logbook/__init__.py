"""The append-only log of what was read, seen and decided, with its photographs."""
