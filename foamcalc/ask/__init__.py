"""A whole build: the job sheet, the plan, the cut list and what is written out."""
