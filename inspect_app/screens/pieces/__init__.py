"""What every screen is made of: looks, rows, the keypad, drawings; knows no job."""
