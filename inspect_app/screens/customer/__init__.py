"""The screens of whoever decides what is done and pays for it."""
