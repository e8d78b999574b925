"""`python -m inspect_app` is `inspect-app`."""

from inspect_app.commands.cli import main

if __name__ == "__main__":
    main()
