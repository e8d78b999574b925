"""What may stand in the log, by subject; knows no store and no screen."""
