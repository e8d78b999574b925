"""Size and form of bore, rod and surface from readings; knows no limits and no gauge."""
