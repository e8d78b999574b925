"""What is typed at the prompt."""
