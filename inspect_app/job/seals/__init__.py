"""The seal list: which seals a cylinder has, what each groove takes and why, what speaks against ordering it."""
