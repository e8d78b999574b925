"""What serves the screens to a browser: the door, signed links, the web app, this machine's addresses."""
