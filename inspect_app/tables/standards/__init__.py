"""The long tables of standards and handbooks, read out of checklists/; knows no limit and no job."""
