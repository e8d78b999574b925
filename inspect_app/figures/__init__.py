"""The drawings, computed once and drawn twice: on the screen and on paper. Knows no toolkit."""
