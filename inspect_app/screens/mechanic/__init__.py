"""The mechanic's screens, from what is there to what was found."""
