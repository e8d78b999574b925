"""The report: what is said and in what order, how it falls on pages, and the PDF of it."""
