"""The screens of whoever orders the parts."""
