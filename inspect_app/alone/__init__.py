"""The phone alone: the same screens with Python in the phone's own browser, the data on its own disk, no server."""
