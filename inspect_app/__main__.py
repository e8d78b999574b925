"""`python -m inspect_app` is `inspect-app`."""

from inspect_app.cli import main

if __name__ == "__main__":
    main()
