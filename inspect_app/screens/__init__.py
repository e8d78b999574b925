"""The screens: functions of the job and of who records; they decide looks, never limits."""
