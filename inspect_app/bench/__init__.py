"""Where everything meets: the folder, the clock, the shop, what is recorded and what is issued."""
