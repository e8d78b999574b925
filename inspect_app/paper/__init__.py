"""Pages of any document: blocks, lines, tables, figures, and the PDF of them; knows no cylinder."""
