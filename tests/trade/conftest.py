"""Each sentence that a test of this room makes is looked at."""

from spelling import every_sentence_is_written_as_one

__all__ = ["every_sentence_is_written_as_one"]
