"""What is proposed to the customer: the scope as it is shown, made of a job, and whether a yes still covers it."""
