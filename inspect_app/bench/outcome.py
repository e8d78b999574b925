"""What came of something a person entered."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.entries.job import Job
from inspect_app.job.judge import Judgement
from inspect_app.trade.measuring.plausible import Doubt
from inspect_app.trade.measuring.refusal import UNSAID, Sentence


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of something a person entered.

    `remark` is a sentence when nothing was recorded; `doubt` a question when a reading is unlikely and
    was not recorded yet; `judgement` the verdict on a reading that was.
    """

    job: Job
    remark: Sentence = UNSAID
    doubt: Doubt | None = None
    judgement: Judgement | None = None
